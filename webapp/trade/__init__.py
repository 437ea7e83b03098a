"""The rules of the trade: the same files run on the server and, unchanged, on the phone (docs/trade.md)."""

"""Addresses and past visits from a file: read, shown, and only then brought in."""

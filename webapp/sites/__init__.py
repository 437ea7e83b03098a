"""Addresses and what happened there: finding an address, reading its history."""

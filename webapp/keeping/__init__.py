"""Keeping the store: start, backup, restore."""

"""The store's history, and the service that brings a store up to date."""

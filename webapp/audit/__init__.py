"""The owner's pages: which repairs did not hold, and what nobody measured."""

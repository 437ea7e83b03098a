"""The sheet that the customer gets: what was found, measured, agreed and done, on a page and as a PDF."""

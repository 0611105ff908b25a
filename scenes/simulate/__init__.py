"""One swing as a table, JSON and CSV."""

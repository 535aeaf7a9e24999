"""Bringing a collection in from a spreadsheet: what its columns say, how its rows are read, what becomes of each."""

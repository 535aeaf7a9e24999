"""Keeping a ledger safe: backup, restore, drill and move, each of which joins the store with files."""

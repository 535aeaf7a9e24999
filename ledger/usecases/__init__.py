"""What can be done with a ledger: each file one verb; a rule of a single event lives in its kind, never here."""

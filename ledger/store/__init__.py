"""The store: entries, what proves them, and the read models, in one database."""

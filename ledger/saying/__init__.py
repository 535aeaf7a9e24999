"""What a record says of a book, part after part, in words that need no page, no program and no network to be read."""

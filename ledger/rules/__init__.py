"""The rules of the trade and of care: one rule, one file; the figures lie in `tables/`, each row with its source.

A table is a data file with a version. A row that has no published source says so: "common practice, no source",
"from memory" or "our assumption, editable". Nothing here reads a clock, chance, the network or any other file.
"""

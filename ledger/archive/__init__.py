"""The archive: a whole collection in one file, as ARCHIVE.md says, written and read a piece at a time."""

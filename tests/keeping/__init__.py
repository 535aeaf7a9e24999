"""Tests of backup, restore, drill and move."""

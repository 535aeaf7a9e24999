"""Tests of the words of a record."""

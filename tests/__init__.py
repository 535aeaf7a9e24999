"""Tests: each name is a sentence; the folders mirror the tree."""

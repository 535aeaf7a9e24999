"""Tests of bringing a collection in."""

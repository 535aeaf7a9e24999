"""Tests of the proof core: published values, damage of every kind, and what must hold for all sizes."""

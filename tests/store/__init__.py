"""Tests of the store: one contract for every kind, faults at every write point, races, guards, migrations, lists."""

"""The tables of a book's surroundings: care, rotation, climate logs with their readings. What they hold is JSON."""

from collections.abc import Mapping
from typing import Final

from sqlalchemy import Table

from ledger.care import Drawer
from ledger.store.bench_tables import beside_table

__all__ = ["CARE", "DRAWERS"]

DRAWERS: Final[Mapping[Drawer, Table]] = {each: beside_table(each.value, "made") for each in Drawer}

CARE: Final = tuple(DRAWERS.values())

"""A list of books as somebody may have kept it, messy on purpose and all of it made up: `python -m seeds.messy FILE`.

A title above the columns, an empty line, semicolons, letters as an older system writes them; days in four spellings, some
of them in doubt; grades as letters, numbers and both; amounts with either mark; two equal rows, and two that nobody can
read as they stand.
"""

import sys
from pathlib import Path
from random import Random
from typing import Final

from ledger.actor import Actor
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases.imports import begin_import

__all__ = ["MESSY_NAME", "MESSY_ROWS", "UNREADABLE", "lay_messy", "messy_table"]

MESSY_NAME: Final = "shelf list (old).csv"
MESSY_ROWS: Final = 36
UNREADABLE: Final = {9: ("Cond.", "a nice copy"), 23: ("What we paid", "too much")}
"""Rows of the file, with the column and the words that are no grade and no amount."""
_SEED: Final = 14
_FIRST_ROW: Final = 4
_HEAD: Final = ("Comic", "Cond.", "When", "What we paid", "Cur", "Box", "Worth", "From whom", "Remarks", "tint")
_SERIES: Final = (
    ("Brass Lantern Parade", 1951),
    ("The Caf\u00e9 of Tin Moons", 1963),
    ("Distant Orchard Tales", 1958),
    ("Se\u00f1or Meteor", 1966),
    ("Velvet Harbour Squad", 1971),
)
_GRADES: Final = ("VF/NM", "9.2", "nm-", "VG 4.0", "Fine", "6,5", "VF", "fn/vf", "", "8.0-8.5")
_SELLERS: Final = ("A fair", "the shop at the quay", "An aunt", "", "?")
_MONTHS: Final = ("Jan", "Feb", "March", "Apr", "May", "June", "Jul", "Aug", "Sept", "Oct", "Nov", "December")
_REMARKS: Final = ("", "", "bought with two others", "=see the blue notebook", "staples \u2013 look again", "n/a")


def messy_table() -> bytes:
    """The file, the same every time."""
    chance = Random(_SEED)  # noqa: S311 - made up and to be made up again, nothing secret
    lines = ["OUR COMICS, copied from the notebook", "", ";".join(_HEAD)]
    rows = [_row(chance, row) for row in range(_FIRST_ROW, _FIRST_ROW + MESSY_ROWS)]
    rows[12] = list(rows[11])
    for row, (column, words) in UNREADABLE.items():
        rows[row - _FIRST_ROW][_HEAD.index(column)] = words
    lines += [";".join(_quoted(cell) for cell in row) for row in rows]
    return "\r\n".join(lines).encode("cp1252")


def lay_messy(ledger: Ledger, actor: Actor) -> None:
    """It waits to be brought in, so that the page has something to show."""
    begin_import(ledger, actor, MESSY_NAME, messy_table(), TableAsked())


def _row(chance: Random, number: int) -> list[str]:
    title, year = chance.choice(_SERIES)
    comic = f"{title} ({year}) #{chance.randrange(1, 60)}" if chance.random() < 0.3 else f"{title} #{number}"  # noqa: PLR2004
    return [
        comic,
        chance.choice(_GRADES),
        _day(chance),
        _amount(chance),
        chance.choice(("EUR", "EUR", "USD", "gbp")),
        f"Box {chance.randrange(1, 7)}",
        f"{chance.randrange(2, 300)}",
        chance.choice(_SELLERS),
        chance.choice(_REMARKS),
        chance.choice(("cream", "white", "off white")),
    ]


def _day(chance: Random) -> str:
    day, month, year = chance.randrange(1, 29), chance.randrange(1, 13), chance.randrange(1979, 2020)
    return chance.choice(
        (
            f"{day}/{month}/{year % 100:02}",
            f"{day} {_MONTHS[month - 1]} {year}",
            str(year),
            f"{year}-{month:02}-{day:02}",
        )
    )


def _amount(chance: Random) -> str:
    whole, part = chance.randrange(1, 240), chance.randrange(100)
    return chance.choice((f"{whole},{part:02}", f"{whole}.{part:02}", str(whole), ""))


def _quoted(cell: str) -> str:
    return f'"{cell}"' if " " in cell else cell


if __name__ == "__main__":
    Path(sys.argv[1]).write_bytes(messy_table())

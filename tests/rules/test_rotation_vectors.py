"""Plans held against figures that were worked out elsewhere: years to a fade, and how many copies fill a spot for a year."""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from ledger.rules.rotation import Hanging, Spot, Wish, shares
from ledger.rules.rotation_search import NoPlan, Proposal, propose

VECTORS = json.loads((Path(__file__).parent.parent / "vectors" / "rotation" / "turns.json").read_text("utf-8"))
YEAR = 365


def a_spot(row: dict[str, Any]) -> Spot:
    return Spot(id="s", a_day=Fraction(row["lux"] * row["hours"]))


@pytest.mark.parametrize("row", VECTORS["years_to_a_fade"], ids=str)
def test_a_year_at_a_spot_takes_the_share_that_the_published_doses_give(row: dict[str, Any]) -> None:
    for dose, years in row["with"].items():
        wish = Wish(spots=(a_spot(row),), books=(Hanging(id="b", fade=Fraction(dose)),), periods=(row["days"],))
        share = shares(wish, (("b",),))["b"]
        assert f"{float(1 / share):.2f}" == years


@pytest.mark.parametrize("row", VECTORS["copies_for_a_spot"], ids=str)
def test_so_many_copies_fill_a_spot_for_a_year_within_their_limit_and_one_fewer_do_not(row: dict[str, Any]) -> None:
    limit, copies = Fraction(row["limit"]), row["copies"]
    assert limit / a_spot(row).a_day == Fraction(row["days_each"])
    periods = tuple(YEAR * (n + 1) // copies - YEAR * n // copies for n in range(copies))
    assert sum(periods) == YEAR

    def plan(count: int) -> Proposal | NoPlan:
        books = tuple(Hanging(id=f"b{n}", fade=Fraction(10**6), most_lux_hours=limit) for n in range(count))
        return propose(Wish(spots=(a_spot(row),), books=books, periods=periods))

    found = plan(copies)
    assert isinstance(found, Proposal)
    assert sorted(row[0] for row in found.rows) == [f"b{n}" for n in range(copies)]
    assert plan(copies - 1) == NoPlan(proven=True)

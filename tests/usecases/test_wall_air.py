"""The air at a wall as it is asked for: figures as people type them, and the walls as the collector ruled."""

import pytest

from ledger.errors import InvalidError
from ledger.events.ruling import NewValue, Ruling
from ledger.usecases.wall_air import air_at_wall, walls_known
from tests.usecases.telling import OWNER, Teller


def test_a_comma_is_as_good_as_a_point_and_a_minus_as_a_hyphen(teller: Teller) -> None:
    one = air_at_wall(teller.ledger, OWNER, {"celsius": "21,5", "rh": "55", "outside": "\N{MINUS SIGN}2"})
    other = air_at_wall(teller.ledger, OWNER, {"celsius": "21.5", "rh": "55", "outside": "-2"})
    assert one == other
    assert one.estimate is not None


@pytest.mark.parametrize(
    ("typed", "kind", "fields"),
    [
        ({"celsius": "21", "rh": "55"}, "", ["outside"]),
        ({"celsius": "21", "outside": "0"}, "", ["rh"]),
        ({"celsius": "warm", "rh": "101", "surface": "NaN"}, "", ["celsius", "rh", "surface"]),
        ({"celsius": "21", "rh": "55", "outside": "0"}, "straw", ["kind"]),
    ],
)
def test_what_cannot_be_read_is_named_by_its_field(
    teller: Teller, typed: dict[str, str], kind: str, fields: list[str]
) -> None:
    with pytest.raises(InvalidError) as refused:
        air_at_wall(teller.ledger, OWNER, typed, kind)
    assert [each.field for each in refused.value.problems] == fields


def test_a_wall_lets_through_what_the_collector_ruled(teller: Teller) -> None:
    typed = {"celsius": "20", "rh": "50", "outside": "0"}
    before = air_at_wall(teller.ledger, OWNER, typed, "solid-brick").estimate
    values = (NewValue(field="hundredths_w_m2k", value="100"),)
    teller.add(None, Ruling(table="damp_walls", row="solid-brick", version=1, values=values))
    after = air_at_wall(teller.ledger, OWNER, typed, "solid-brick").estimate
    assert before is not None
    assert after is not None
    # By hand: 1 - 0.25 / (1 + 0.12) = 0.7768 of 20 degrees.
    assert after[0].celsius == pytest.approx(15.54, abs=6e-3)
    assert after[0].celsius > before[0].celsius
    known = walls_known(teller.ledger, OWNER).kind("solid-brick")
    assert known is not None
    assert known.transmittance == 1

"""Ceilings: what a defect allows at best, and the checks that every such table must meet."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.ceilings import Ceiling, UnmeasuredError, allows, ceilings
from ledger.rules.defects import defect_types
from ledger.rules.grades import Grade

TYPES = [each.id for each in defect_types()]
SIZES = st.decimals(Decimal("0.1"), Decimal(400), places=1)
COUNTS = st.integers(1, 40)
SHARES = st.integers(1, 100)
FACES = ["front", "back", "spine", "edges", "inside", "staples"]
NONE_SET = Grade.at(24).step + 1


def best(name: str, face: str = "front", *, breaks_colour: bool | None = False, **measures: Any) -> str | None:
    found = allows(name, face=face, breaks_colour=breaks_colour, **measures)
    return None if found is None else found.text


def step(grade: Grade | None) -> int:
    """No limit stands above every step."""
    return NONE_SET if grade is None else grade.step


def test_two_tiny_ticks_that_break_colour_allow_about_9_2() -> None:
    # Common practice, no source.
    assert best("spine-tick", "spine", breaks_colour=True, count=2, size_mm=Decimal(2)) == "9.2"


def test_a_tiny_crease_that_breaks_colour_at_a_front_corner_allows_about_9_2() -> None:
    # Common practice, no source.
    assert best("crease", breaks_colour=True, size_mm=Decimal("2.5")) == "9.2"


def test_a_small_edge_dent_that_stays_allows_about_9_4() -> None:
    # Common practice, no source.
    assert best("edge-dent", size_mm=Decimal("1.5")) == "9.4"


@pytest.mark.parametrize("gone", [{"size_mm": Decimal(0)}, {"count": 0, "size_mm": Decimal(4)}, {"share_percent": 0}])
def test_a_defect_that_has_gone_sets_no_limit(gone: dict[str, Any]) -> None:
    for name in TYPES:
        assert best(name, word="straw", **gone) is None


@given(name=st.sampled_from(TYPES), face=st.sampled_from(FACES), breaks=st.booleans(), sizes=st.tuples(SIZES, SIZES),
       counts=st.tuples(COUNTS, COUNTS), shares=st.tuples(SHARES, SHARES))  # fmt: skip
def test_a_larger_one_of_the_same_kind_never_allows_a_better_grade(
    *,
    name: str,
    face: str,
    breaks: bool,
    sizes: tuple[Decimal, Decimal],
    counts: tuple[int, int],
    shares: tuple[int, int],  # drawn
) -> None:
    small, large = (
        allows(
            name, face=face, breaks_colour=breaks, size_mm=pick(sizes), count=pick(counts), share_percent=pick(shares)
        )
        for pick in (min, max)
    )
    assert step(large) <= step(small)


@given(name=st.sampled_from(TYPES), face=st.sampled_from(FACES), size=SIZES, count=COUNTS, share=SHARES)
def test_breaking_colour_never_raises_a_ceiling_and_not_knowing_counts_as_breaking(
    name: str, face: str, size: Decimal, count: int, share: int
) -> None:
    found = {
        breaks: allows(name, face=face, breaks_colour=breaks, size_mm=size, count=count, share_percent=share)
        for breaks in (False, True, None)
    }
    assert step(found[True]) <= step(found[False])
    assert found[None] == found[True]


@given(size=SIZES)
def test_a_crease_never_allows_more_than_a_bend_of_the_same_length(size: Decimal) -> None:
    crease, bend = (
        allows(name, face="front", breaks_colour=name == "crease", size_mm=size) for name in ("crease", "bend")
    )
    assert step(crease) <= step(bend)


@given(name=st.sampled_from(TYPES), breaks=st.booleans(), size=SIZES, count=COUNTS, share=SHARES)
def test_the_back_cover_is_never_stricter_than_the_front(
    *,
    name: str,
    breaks: bool,
    size: Decimal,
    count: int,
    share: int,  # drawn
) -> None:
    front, back = (
        allows(name, face=face, breaks_colour=breaks, size_mm=size, count=count, share_percent=share, word="brown")
        for face in ("front", "back")
    )
    assert step(back) >= step(front)
    assert step(back) - step(front) <= 1


@pytest.mark.parametrize(
    ("name", "face", "breaks", "measures", "grade"),
    # From memory of published ten-point handbooks, rounded to sizes a ruler can read; words turned into sizes are ours.
    [
        ("spine-tick", "spine", False, {"count": 2}, "9.8"),
        ("spine-tick", "spine", False, {"count": 13}, "7.5"),
        ("spine-tick", "spine", True, {"count": 1}, "9.4"),
        ("spine-tick", "spine", True, {"count": 8}, "7.5"),
        ("spine-tick", "spine", True, {"count": 1, "size_mm": 7}, "8.0"),
        ("spine-tick", "spine", True, {"count": 12, "size_mm": 7}, "7.5"),
        ("bend", "front", False, {"size_mm": 25}, "9.2"),
        ("bend", "back", False, {"size_mm": 25}, "9.4"),
        ("crease", "front", True, {"size_mm": "13.1"}, "7.0"),
        ("crease", "front", True, {"size_mm": 101}, "4.0"),
        ("corner-blunting", "front", False, {"size_mm": "1.5"}, "9.4"),
        ("tear", "front", True, {"size_mm": 3}, "9.0"),
        ("tear", "inside", True, {"size_mm": 76}, "3.0"),
        ("spine-split", "spine", True, {"size_mm": 200}, "1.8"),
        ("missing-piece", "front", True, {"size_mm": 60}, "1.0"),
        ("spine-roll", "spine", False, {"size_mm": 2}, "7.0"),
        ("tide-line", "front", False, {"size_mm": 30}, "3.5"),
        ("staple-popped", "staples", None, {"count": 1}, "7.0"),
        ("staple-popped", "staples", None, {"count": 2}, "4.5"),
        ("cover-off", "staples", None, {}, "2.5"),
        ("centre-leaf-off", "inside", None, {}, "4.5"),
        ("paper-tone", "inside", None, {"word": "straw"}, "7.0"),
        ("paper-tone", "inside", None, {"word": "ivory"}, None),
        ("paper-tone", "inside", None, {"word": "bright"}, None),
        ("paper-suppleness", "inside", None, {"word": "cracks"}, "1.5"),
        ("paper-suppleness", "inside", None, {"word": "supple"}, None),
        ("date-mark", "front", None, {"size_mm": 10}, "9.6"),
        ("tape", "front", None, {}, "5.0"),
        ("subscription-fold", "front", False, {}, "8.0"),
        ("subscription-fold", "front", True, {}, "5.0"),
        ("coupon-missing", "inside", None, {}, "2.0"),
        ("page-missing", "inside", None, {}, "0.5"),
        ("bindery-miswrap", "front", None, {"size_mm": 2}, "9.4"),
    ],
)
def test_a_defect_allows_what_its_row_says(
    *,
    name: str,
    face: str,
    breaks: bool | None,
    measures: dict[str, Any],
    grade: str | None,  # a table
) -> None:
    sized = measures | ({"size_mm": Decimal(measures["size_mm"])} if "size_mm" in measures else {})
    assert best(name, face, breaks_colour=breaks, **sized) == grade


@pytest.mark.parametrize(
    ("name", "measure"), [("crease", "size_mm"), ("surface-dirt", "share_percent"), ("tear", "size_mm")]
)
def test_a_defect_that_was_not_measured_has_no_ceiling_and_says_what_to_measure(name: str, measure: str) -> None:
    with pytest.raises(UnmeasuredError) as caught:
        best(name, breaks_colour=True)
    assert (caught.value.defect, caught.value.measure) == (name, measure)
    assert caught.value.mend.startswith("Measure the ")


@pytest.mark.parametrize("row", ceilings(), ids=lambda row: row.id)
def test_every_row_runs_from_small_to_an_open_end_and_names_its_source(row: Ceiling) -> None:
    limits = [each.up_to for each in row.classes]
    assert limits[-1] is None
    assert all(limit is not None and limit > 0 for limit in limits[:-1])
    steps = [step(each.allows) for each in row.classes]
    assert steps == sorted(steps, reverse=True)
    assert len(set(steps)) == len(steps)
    assert all(source.startswith(("from memory", "our assumption")) for source in row.sources)

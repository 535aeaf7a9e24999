"""When: one text for one meaning, and a strict order that no time zone can turn round."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, timezone
from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from ledger.when import When, WhenError, as_happened, positions

DAYS = st.dates(date(1987, 1, 1), date(1989, 12, 31))
MOMENTS = st.datetimes(datetime(1987, 1, 1), datetime(1989, 12, 31, 23, 59, 59)).map(  # noqa: DTZ001  # zone put on below
    lambda moment: moment.replace(microsecond=0)
)
OFFSETS = st.integers(-48, 56).map(lambda quarters: timezone(timedelta(minutes=15 * quarters)))


def _spelt(moment: datetime, zone: timezone) -> When:
    text = moment.replace(tzinfo=zone).isoformat()
    return When(text.removesuffix("+00:00") + "Z" if text.endswith("+00:00") else text)


def _interval(first: date, last: date) -> When:
    return When.of_day(first) if first == last else When(f"{min(first, last)}/{max(first, last)}")


WHENS = st.one_of(
    DAYS.map(When.of_day),
    DAYS.map(lambda day: When(day.isoformat()[:7])),
    st.sampled_from(["1987", "1988", "1989", "198X", "199X"]).map(When),
    st.builds(_interval, DAYS, DAYS),
    st.builds(_spelt, MOMENTS, OFFSETS),
)
HAPPENED = st.none() | WHENS


@pytest.mark.parametrize(
    ("text", "precision", "earliest", "latest", "label"),
    # Source: ISO 8601-1:2019 5.2.2 (calendar dates), ISO 8601-2:2019 annex A (EDTF: unspecified digit, interval).
    [
        ("1998", "year", "1998-01-01", "1998-12-31", "1998"),
        ("1998-04", "month", "1998-04-01", "1998-04-30", "April 1998"),
        ("2024-02", "month", "2024-02-01", "2024-02-29", "February 2024"),
        ("1998-04-03", "day", "1998-04-03", "1998-04-03", "3 April 1998"),
        ("199X", "decade", "1990-01-01", "1999-12-31", "1990s"),
        ("1998-04-03/1998-05", "interval", "1998-04-03", "1998-05-31", "between 3 April 1998 and May 1998"),
        ("1998/1998-04", "interval", "1998-01-01", "1998-04-30", "between 1998 and April 1998"),
        ("2024-05-01T14:30:00+02:00", "instant", "2024-05-01", "2024-05-01", "1 May 2024, 14:30 (UTC+02:00)"),
        ("2024-05-01T23:30:05Z", "instant", "2024-05-01", "2024-05-01", "1 May 2024, 23:30 (UTC)"),
    ],
)
def test_a_date_says_how_exactly_it_is_known(text: str, precision: str, earliest: str, latest: str, label: str) -> None:
    when = When.parse(text)
    assert (when.precision, when.earliest_day.isoformat(), when.latest_day.isoformat()) == (precision, earliest, latest)
    assert when.label() == label
    assert str(when) == text
    assert {when: 1}[When(text)] == 1


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("1998-13", "Months run from 01 to 12"),
        ("1998-00", "Months run from 01 to 12"),
        ("2023-02-30", "Days run from 01 to 28"),
        ("2023-04-00", "Days run from 01 to 30"),
        ("2024-05-01T14:30:00", "2024-05-01T14:30:00+02:00"),
        ("2024-05-01T24:00:00Z", "Hours run to 23"),
        ("2024-05-01T14:30:60Z", "seconds to 59"),
        ("2024-05-01T14:30:00+00:00", "Z for UTC itself"),
        ("2024-05-01T14:30:00-00:00", "Z for UTC itself"),
        ("2024-05-01T14:30:00+14:15", "from -12:00 to +14:00"),
        ("2024-05-01T14:30:00-12:30", "from -12:00 to +14:00"),
        ("2024-05-01T14:30:00+01:60", "from -12:00 to +14:00"),
        ("1799", "Check the year"),
        ("3000-01-01", "Check the year"),
        ("179X", "Check the year"),
        ("1999/1998", "earlier one first"),
        ("1998/1998", "a single date needs no interval"),
        ("1998-05/1998-04-30", "earlier one first"),
    ],
)
def test_an_impossible_date_is_refused_with_the_mend(text: str, mend: str) -> None:
    with pytest.raises(WhenError) as caught:
        When(text)
    assert caught.value.text == text
    assert mend in caught.value.mend


@pytest.mark.parametrize(
    "text",
    ["", "98", "1998-4", "1998-4-3", "19980403", "199x", "19XX", "1998~", "1998?", "1998/..", "/1998", "1998/1999/2000",
     "199X/2000", "2024-05-01T14:30Z", "2024-05-01T14:30:00.5Z", "2024-05-01 14:30:00Z", "2024-05-01t14:30:00z",
     "2024-05-01T14:30:00+0200", "2024-05T14:30:00Z", " 1998", "1998\n", "\u0661998", "-1998", "y1998", "1998-21", 1998],
)  # fmt: skip
def test_a_second_spelling_of_a_date_is_refused(text: Any) -> None:
    with pytest.raises(WhenError):
        When(text)


@given(WHENS)
def test_equal_meaning_has_equal_text(when: When) -> None:
    assert When(str(when)) == when
    assert When(str(when)).span() == when.span()


@given(WHENS, WHENS, WHENS)
def test_certainly_before_is_a_strict_partial_order_over_mixed_kinds(a: When, b: When, c: When) -> None:
    assert not a.certainly_before(a)
    assert not (a.certainly_before(b) and b.certainly_before(a))
    if a.certainly_before(b) and b.certainly_before(c):
        assert a.certainly_before(c)
    assert a.overlaps(b) == (not a.certainly_before(b) and not b.certainly_before(a))


@given(DAYS, MOMENTS, OFFSETS, OFFSETS)
def test_a_bare_day_and_a_moment_are_ordered_only_if_no_time_zone_could_turn_them_round(
    day: date, moment: datetime, there: timezone, here: timezone
) -> None:
    bare, instant = When.of_day(day), _spelt(moment, there)
    begin = datetime(day.year, day.month, day.day, tzinfo=here)
    at = moment.replace(tzinfo=there)
    if bare.certainly_before(instant):
        assert begin + timedelta(days=1) <= at
    if instant.certainly_before(bare):
        assert at < begin


def test_the_widening_is_exactly_the_range_of_civil_offsets() -> None:
    # Source: IANA time zone database: Pacific/Kiritimati +14:00, Etc/GMT+12 -12:00.
    day = When("2024-05-02")
    assert When("2024-05-01T09:59:59Z").certainly_before(day)
    assert not When("2024-05-01T10:00:00Z").certainly_before(day)
    assert day.certainly_before(When("2024-05-03T12:00:00Z"))
    assert not day.certainly_before(When("2024-05-03T11:59:59Z"))


def test_two_bare_dates_are_compared_by_the_calendar_and_two_moments_by_the_moment() -> None:
    assert When("1998-04").certainly_before(When("1998-05-01"))
    assert When("1998").overlaps(When("1998-05-01"))
    assert When("2024-05-01T01:00:00+02:00").certainly_before(When("2024-04-30T23:30:00Z"))
    assert When("2024-05-01T01:00:00+02:00").overlaps(When("2024-04-30T23:00:00Z"))


def _recorded(*texts: str | None) -> list[When | None]:
    return [None if text is None else When(text) for text in texts]


def test_exact_dates_are_told_by_date_and_then_as_recorded() -> None:
    items = _recorded("2001-01-01", "1999-05-05", "2001-01-01", "2000-02-02", "1999-05-05")
    assert as_happened(items) == [1, 4, 3, 0, 2]


def test_a_late_entry_is_put_just_before_what_it_was_certainly_before() -> None:
    # bought 2001, slabbed 2005, sold 2010; then an intervention of 2003 is entered
    assert as_happened(_recorded("2001", "2005", "2010", "2003")) == [0, 3, 1, 2]


def test_an_unknown_date_stays_where_it_was_recorded() -> None:
    assert as_happened(_recorded("2001", "2005", None)) == [0, 1, 2]
    assert as_happened(_recorded("2001", None, "2005")) == [0, 1, 2]
    assert as_happened(_recorded("2005", None, "2001")) == [2, 0, 1]


@given(st.lists(HAPPENED, max_size=12))
def test_nothing_stands_before_what_was_certainly_before_it(items: list[When | None]) -> None:
    order = as_happened(items)
    assert sorted(order) == list(range(len(items)))
    assert as_happened(items) == order
    for earlier, later in combinations(order, 2):
        first, second = items[earlier], items[later]
        if second is not None and first is not None:
            assert not second.certainly_before(first)


@given(st.lists(HAPPENED, max_size=12))
def test_each_is_put_before_the_first_that_it_was_certainly_before(items: list[When | None]) -> None:
    order: list[int] = []
    for place, item in enumerate(items):
        dates = [items[known] for known in order]
        before = [at for at, other in enumerate(dates) if item and other and item.certainly_before(other)]
        order.insert(before[0] if before else len(order), place)
    assert as_happened(items) == order


@given(st.lists(HAPPENED, max_size=12))
def test_what_overlaps_keeps_the_order_in_which_it_was_recorded(items: list[When | None]) -> None:
    dates = [when for when in items if when is not None]
    if all(a.overlaps(b) for a, b in combinations(dates, 2)):
        assert as_happened(items) == list(range(len(items)))


@given(st.lists(DAYS, max_size=15))
def test_exact_days_come_out_sorted_and_stable(days: list[date]) -> None:
    items = [When.of_day(day) for day in days]
    assert as_happened(items) == sorted(range(len(days)), key=lambda place: days[place])


@given(st.lists(HAPPENED, max_size=8), HAPPENED)
def test_a_candidate_may_stand_exactly_where_no_certain_precedence_is_broken(
    items: list[When | None], candidate: When | None
) -> None:
    order = as_happened(items)
    allowed = []
    for place in range(len(order) + 1):
        before, after = [items[known] for known in order[:place]], [items[known] for known in order[place:]]
        if not any(_certainly(candidate, each) for each in before) and not any(
            _certainly(each, candidate) for each in after
        ):
            allowed.append(place)
    assert list(positions(order, items, candidate)) == allowed
    assert allowed


def _certainly(item: When | None, other: When | None) -> bool:
    """Recomputed from the spans, apart from the code under test."""
    if item is None or other is None:
        return False
    if item.instant is None and other.instant is None:
        return item.latest_day < other.earliest_day
    begin, end = other.span()[0], item.span()[1]
    return end <= begin and not (end == begin and item.instant is not None)


def test_the_places_of_a_vague_date_are_all_named() -> None:
    items = _recorded("2001-01-01", "2003-03-03", "2005-05-05")
    assert list(positions([0, 1, 2], items, When("2003"))) == [1, 2]
    assert list(positions([0, 1, 2], items, None)) == [0, 1, 2, 3]


def test_the_months_come_in_the_order_of_the_calendar() -> None:
    labels = [When(f"1998-{month:02}") for month in range(1, 13)]
    assert all(first.certainly_before(second) for first, second in pairwise(labels))
    assert [when.label()[:3] for when in labels] == [date(1998, month, 1).strftime("%b") for month in range(1, 13)]


@dataclass(frozen=True, kw_only=True)
class Dated:
    """An event-like dataclass, read by pydantic."""

    on: When | None = field(metadata={"title": "Date bought"})


DATED = TypeAdapter(Dated)


@given(WHENS)
def test_a_date_goes_through_json_as_its_text(when: When) -> None:
    dated = Dated(on=when)
    text = f'{{"on":"{when}"}}'
    assert DATED.validate_json(text, strict=True) == dated
    assert DATED.dump_python(dated, mode="json") == {"on": str(when)}
    assert DATED.dump_json(dated) == text.encode()


def test_a_date_that_is_none_is_refused_at_its_field_with_our_sentence() -> None:
    with pytest.raises(ValidationError) as caught:
        DATED.validate_json('{"on": "2023-02-30"}', strict=True)
    (error,) = caught.value.errors()
    assert error["loc"] == ("on",)
    assert isinstance(error["ctx"]["error"].error, WhenError)
    assert "no day 30 in February 2023" in error["msg"]
    with pytest.raises(ValidationError):
        DATED.validate_json('{"on": 1998}', strict=True)


def test_the_schema_of_a_date_is_a_pattern_with_examples_that_match_it() -> None:
    import re  # noqa: PLC0415  # only this test looks at a pattern

    schema = DATED.json_schema()["properties"]["on"]["anyOf"][0]
    assert schema["type"] == "string"
    assert all(re.search(schema["pattern"], example) and When(example) for example in schema["examples"])

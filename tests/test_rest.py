"""The rest before a look, read from dates: between days as people count a week, between moments to the hour, else not known."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.rest import rest_between
from ledger.when import When
from tests.builders import on
from tests.counts import count


def rest(*work: str | None, look: str | None = "2024-03-12", minutes: int = 0) -> int | None:
    return rest_between([(on(each), minutes) for each in work], on(look))


@pytest.mark.parametrize(
    ("work", "look", "hours"),
    [
        ("2024-03-05", "2024-03-12", 168),
        ("2024-03-12", "2024-03-12", 0),
        ("2024-02-28", "2024-03-01", 48),
        ("2023-02-28", "2023-03-01", 24),
        ("2024-03-01/2024-03-05", "2024-03-12", 168),
        ("2024-03/2024-03-05", "2024-03-12", 168),
        ("2024-03-05T09:00:00+01:00", "2024-03-05T10:59:00+01:00", 1),
        ("2024-03-05T09:00:00+01:00", "2024-03-05T09:00:00Z", 1),
        ("2024-03-05T23:00:00+01:00", "2024-03-12", 168),
        ("2024-03-05", "2024-03-12T07:00:00-05:00", 168),
    ],
)
def test_the_rest_is_what_lies_between(work: str, look: str, hours: int) -> None:
    """Source: the calendar; 2024 is a leap year and 2023 is none."""
    assert rest(work, look=look) == hours


@pytest.mark.parametrize(
    ("work", "look"),
    [
        ("2024-03", "2024-04-12"),
        ("2023", "2024-03-12"),
        ("199X", "2024-03-12"),
        ("2024-02/2024-03", "2024-04-12"),
        ("2024-03-01/2024-03", "2024-04-12"),
        (None, "2024-03-12"),
        ("2024-03-05", "2024-03"),
        ("2024-03-05", "2024-03-10/2024-03-12"),
        ("2024-03-05", None),
    ],
)
def test_a_date_that_says_less_than_the_day_tells_no_rest(work: str | None, look: str | None) -> None:
    assert rest(work, look=look) is None


def test_without_work_there_is_no_rest() -> None:
    assert rest() is None


def test_the_last_step_counts_and_those_of_which_less_is_known_only_where_they_may_have_been_last() -> None:
    assert rest("2024-03-01", "2024-03-05") == 168
    assert rest("2023-11", "2024-03-05") == 168
    assert rest(None, "2024-03-05") == 168
    assert rest("2024-03", "2024-03-05") is None
    assert rest("2024-03-05", "2024-03") is None
    assert rest("2024-03-05", None) is None


def test_the_time_a_step_took_is_no_rest_where_its_moment_is_told() -> None:
    moments = ("2024-03-01T08:00:00Z", "2024-03-08T20:00:00Z")
    assert rest(moments[0], look=moments[1]) == 180
    assert rest(moments[0], look=moments[1], minutes=720) == 168
    assert rest(moments[0], look=moments[1], minutes=721) == 167
    assert rest(moments[0], look=moments[0], minutes=10) == 0
    assert rest("2024-03-05", minutes=720) == 168


START = datetime(2024, 3, 1, tzinfo=UTC)


@settings(max_examples=count(100, 1000), deadline=None)
@given(st.lists(st.integers(0, 10_000), min_size=1, max_size=6), st.integers(0, 10_000))
def test_more_work_never_makes_a_longer_rest(starts: list[int], more: int) -> None:
    def at(minute: int) -> When:
        return When((START + timedelta(minutes=minute)).strftime("%Y-%m-%dT%H:%M:%SZ"))

    look = at(20_000)
    before = rest_between([(at(each), 0) for each in starts], look)
    after = rest_between([(at(each), 0) for each in [*starts, more]], look)
    assert before == (20_000 - max(starts)) // 60
    assert after is not None
    assert after <= before

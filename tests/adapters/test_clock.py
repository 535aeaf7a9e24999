"""The machine's own time and chance."""

from datetime import UTC, datetime, timedelta

import pytest

from ledger.adapters.clock import SystemChance, SystemClock


def test_the_time_is_now_in_utc() -> None:
    before = datetime.now(UTC)
    now = SystemClock().now()
    assert before <= now <= datetime.now(UTC)
    assert now.utcoffset() == timedelta(0)


@pytest.mark.parametrize("count", [1, 16, 32])
def test_chance_gives_as_many_bytes_as_asked(count: int) -> None:
    assert len(SystemChance().bytes(count)) == count


def test_no_two_draws_are_alike() -> None:
    assert len({SystemChance().bytes(16) for _ in range(1000)}) == 1000

"""Files that wait for a yes: gone on time whether anybody comes again or not, and never more than so many bytes."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from threading import Event

import pytest

from web.held_files import HELD_MINUTES, HELD_MOST, HeldFiles, later

NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)
OWNER, OTHER = b"a session", b"another one"


class Due:
    """What is to be done later, done when the test says so."""

    def __init__(self) -> None:
        self.waiting: list[tuple[float, Callable[[], None]]] = []

    def after(self, seconds: float, work: Callable[[], None]) -> Callable[[], None]:
        """As `later`."""
        each = (seconds, work)
        self.waiting.append(each)
        return lambda: self.waiting.remove(each) if each in self.waiting else None


@pytest.fixture
def due() -> Due:
    return Due()


@pytest.fixture
def held(due: Due) -> HeldFiles[bytes]:
    return HeldFiles(len, most=100, after=due.after)


def test_what_is_held_is_there_for_its_session_alone(held: HeldFiles[bytes]) -> None:
    held.hold("a", OWNER, [b"x"], NOON)
    assert list(held.take("a", OWNER, NOON)) == [b"x"]
    assert list(held.take("a", OTHER, NOON)) == []
    assert list(held.take("b", OWNER, NOON)) == []


def test_it_is_let_go_of_on_time_though_nobody_comes_again(held: HeldFiles[bytes], due: Due) -> None:
    held.hold("a", OWNER, [b"x" * 40], NOON)
    ((seconds, work),) = due.waiting
    assert (seconds, held.size) == (HELD_MINUTES * 60, 40)
    work()
    assert (held.size, due.waiting) == (0, [])


def test_whoever_comes_too_late_finds_nothing_and_nothing_is_held_any_more(held: HeldFiles[bytes]) -> None:
    held.hold("a", OWNER, [b"x"], NOON)
    assert list(held.take("a", OWNER, NOON + timedelta(minutes=HELD_MINUTES))) == []
    assert held.size == 0


def test_what_was_answered_is_gone_and_nothing_waits_for_it(held: HeldFiles[bytes], due: Due) -> None:
    held.hold("a", OWNER, [b"x"], NOON)
    held.let_go("a")
    held.let_go("a")
    assert (held.size, due.waiting) == (0, [])


def test_the_oldest_goes_where_there_would_be_too_many_bytes(held: HeldFiles[bytes], due: Due) -> None:
    for name in ("a", "b", "c"):
        held.hold(name, OWNER, [b"x" * 20, b"y" * 20], NOON)
    assert held.size == 80
    assert [bool(held.take(name, OWNER, NOON)) for name in ("a", "b", "c")] == [False, True, True]
    assert len(due.waiting) == 2
    held.hold("d", OWNER, [b"x" * 101], NOON)
    assert (held.size, due.waiting) == (0, [])


def test_the_oldest_goes_where_there_would_be_too_many(held: HeldFiles[bytes]) -> None:
    names = [str(number) for number in range(HELD_MOST + 1)]
    for name in names:
        held.hold(name, OWNER, [b"x"], NOON)
    assert [bool(held.take(name, OWNER, NOON)) for name in names] == [False, *[True] * HELD_MOST]


def test_a_clock_of_its_own_does_it_and_can_be_called_off() -> None:
    done, never = Event(), Event()
    call_off = later(3600, never.set)
    later(0, done.set)
    assert done.wait(30)
    call_off()
    assert not never.is_set()

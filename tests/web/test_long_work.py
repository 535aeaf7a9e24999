"""Long work: one at a time, counted, kept until the next one ends."""

import logging
from threading import Event, Thread

import pytest
from fastapi.testclient import TestClient

from ledger.errors import ConflictError
from tests.fakes import FakeClock
from tests.web.browser import Home
from web.long_work import LongWork, Progress, StoppedError

SOON = 10.0


class Held:
    """A work that tells how far it is and goes on only when it may."""

    def __init__(self) -> None:
        self.begun, self.may_end = Event(), Event()

    def __call__(self, progress: Progress) -> str:
        """Three of eight, then all of them."""
        progress(3, 8)
        self.begun.set()
        assert self.may_end.wait(SOON)
        progress(8, 8)
        return "all eight"


def test_a_work_goes_on_by_itself_and_says_how_far_it_is(clock: FakeClock) -> None:
    works, work = LongWork(clock), Held()
    assert (works.running, works.last("count")) == (None, None)
    assert works.start("count", work)
    assert work.begun.wait(SOON)
    running = works.running
    assert running is not None
    assert (running.name, running.done, running.expected) == ("count", 3, 8)
    work.may_end.set()
    assert works.wait(SOON)
    ended = works.last("count")
    assert works.running is None
    assert ended is not None
    assert (ended.result, ended.failure, ended.since) == ("all eight", None, running.since)
    assert ended.at > ended.since


def test_nothing_else_begins_while_a_work_is_being_done(clock: FakeClock) -> None:
    works, work = LongWork(clock), Held()
    works.start("count", work)
    assert not works.start("sort", lambda _progress: None)
    work.may_end.set()
    assert works.wait(SOON)
    assert works.last("sort") is None
    assert works.start("sort", lambda _progress: "sorted")
    assert works.wait(SOON)
    ended = works.last("sort")
    assert ended is not None
    assert ended.result == "sorted"


def test_of_many_that_begin_at_the_same_moment_one_does(clock: FakeClock) -> None:
    works, work = LongWork(clock), Held()
    begun: list[bool] = []
    threads = [Thread(target=lambda: begun.append(works.start("count", work))) for _ in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(SOON)
    work.may_end.set()
    assert works.wait(SOON)
    assert begun.count(True) == 1
    assert len(begun) == 16


def test_what_a_work_was_refused_is_kept(clock: FakeClock, caplog: pytest.LogCaptureFixture) -> None:
    works, refused = LongWork(clock), ConflictError(sentence="It is closed.")

    def work(_progress: Progress) -> None:
        raise refused

    works.start("count", work)
    assert works.wait(SOON)
    ended = works.last("count")
    assert ended is not None
    assert ended.failure is refused
    assert caplog.records == []


def test_a_work_that_fails_is_told_in_the_log_and_lets_the_next_one_begin(
    clock: FakeClock, caplog: pytest.LogCaptureFixture
) -> None:
    works = LongWork(clock)

    def work(_progress: Progress) -> None:
        raise ZeroDivisionError

    with caplog.at_level(logging.ERROR):
        works.start("count", work)
        assert works.wait(SOON)
    ended = works.last("count")
    assert ended is not None
    assert isinstance(ended.failure, ZeroDivisionError)
    assert [record.getMessage() for record in caplog.records] == ["count failed"]
    assert works.start("count", lambda _progress: "done")
    assert works.wait(SOON)
    again = works.last("count")
    assert again is not None
    assert again.failure is None


def test_a_work_ends_at_its_next_count_when_the_program_ends(clock: FakeClock) -> None:
    works, begun = LongWork(clock), Event()

    def work(progress: Progress) -> None:
        while True:
            progress(1, 2)
            begun.set()

    works.start("count", work)
    assert begun.wait(SOON)
    works.stop()
    ended = works.last("count")
    assert works.running is None
    assert ended is not None
    assert isinstance(ended.failure, StoppedError)
    assert not works.start("count", work)


def test_a_work_ends_with_the_pages(home: Home) -> None:
    begun = Event()

    def work(progress: Progress) -> None:
        while True:
            progress(1, 2)
            begun.set()

    with TestClient(home.app, base_url="http://localhost"):
        assert home.app.state.works.start("count", work)
        assert begun.wait(SOON)
    assert home.app.state.works.running is None

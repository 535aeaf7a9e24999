"""Whatever is tried in whatever order, good or bad: the ledger holds, a rebuild gives the same, verify finds nothing."""

import tempfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from ledger.errors import LedgerError
from ledger.events import Event
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.purchase import Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.found import found
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase, a_slab, an_examination, an_intervention, an_opening, on
from tests.check import check_ledger
from tests.conftest import STORES, ledger_on
from tests.counts import count
from tests.usecases.tampering import a_note
from tests.usecases.telling import OWNER

BOOKS = ("b-one", "b-two", "b-three")
DATES = st.sampled_from([None, "199X", "2001", "2001-05", "2001-05-05", "2003-03-03/2004-04-04", "2005-05-05", "2010"])
CHANGES: st.SearchStrategy[Mapping[str, Any]] = st.sampled_from(
    [{"on": "2002"}, {"on": "tomorrow"}, {"seller": "a fair"}, {"holding": "raw"}, {"words": "other"}, {}, {"x": 1}]
)
SEALED = st.sampled_from(["seller", "words", "reason", "remark"])
HAPPENS: st.SearchStrategy[Event] = st.one_of(
    DATES.map(an_opening),
    DATES.map(an_examination),
    DATES.map(lambda when: an_intervention(when=when)),
    DATES.map(lambda when: Sale(on=on(when), disclosed=Disclosed.NOTHING)),
    DATES.map(lambda when: a_purchase(when, means=Means.CAME_BACK)),
    st.sampled_from(["", "kept flat", "turned over"]).map(a_note),
)
MENDS: st.SearchStrategy[Callable[[int], Event]] = st.one_of(
    CHANGES.map(lambda changes: lambda seq: Correction(entry=seq, changes=changes)),
    SEALED.map(lambda name: lambda seq: Erasure(entry=seq, names=(name,))),
    st.just(lambda seq: Withdrawal(entry=seq)),
    st.just(lambda seq: Withdrawal(entry=seq)),
)


@dataclass(frozen=True)
class Attempt:
    """Something that is tried on a book: an event, or one that mends the entry `back` places before its last."""

    book: str | None
    said: Event | Callable[[int], Event]
    back: int = 0
    new: bool = False

    def draft(self, ledger: Ledger) -> Draft:
        """As it stands when its turn has come."""
        if isinstance(self.said, Event):
            return Draft(event=self.said, book=self.book, new_book=self.new, id=self.book)
        with ledger.log.read() as reader:
            chain = reader.of_book(self.book) if self.book else reader.of_collection()
        return Draft(event=self.said(chain[-1 - self.back % len(chain)].seq), book=self.book)


@dataclass(frozen=True)
class Step:
    """An act that is tried, perhaps with a key that was used before, and then perhaps a checkpoint."""

    attempts: tuple[Attempt, ...]
    key: str | None = None
    sign: bool = False


ON = st.sampled_from([*BOOKS, *BOOKS, None])
ATTEMPTS = st.one_of(
    st.builds(Attempt, ON, HAPPENS),
    st.builds(Attempt, ON, MENDS, st.integers(0, 5)),
    st.builds(lambda book, when: Attempt(book, a_slab(when), new=True), st.sampled_from([BOOKS[0], None]), DATES),
)
STEPS = st.builds(
    Step,
    st.one_of(ATTEMPTS.map(lambda each: (each,)), st.lists(ATTEMPTS, min_size=2, max_size=3).map(tuple)),
    st.sampled_from([None] * 6 + ["k", "l"]),
    st.booleans(),
)
# Without books that are there, all that follows would only be refused.
BEGINNING = Step(
    (
        Attempt("b-one", a_slab("2000"), new=True),
        Attempt("b-two", a_purchase("2000", seller=Sealed.of("a shop")), new=True),
        Attempt("b-three", a_purchase(seller=Sealed.of("a friend"), means=Means.GIFT), new=True),
    )
)
HISTORIES = st.lists(STEPS, min_size=10, max_size=25)


def told(ledger: Ledger, steps: list[Step]) -> str | None:
    """Try every step; gives the last checkpoint that was signed."""
    anchor = None
    for step in (BEGINNING, *steps):
        with suppress(LedgerError):
            drafts = [each.draft(ledger) for each in step.attempts]
            written = record(ledger, OWNER, drafts, Request(key=step.key, body=repr(drafts).encode()))
            event("replayed" if written.replayed else f"written: {written.entries[-1].event.kind}")
        if step.sign:
            anchor = sign_checkpoint(ledger, OWNER).note
    return anchor


def holds(kind: str, steps: list[Step]) -> None:
    with tempfile.TemporaryDirectory() as folder, STORES[kind](Path(folder) / "folder") as log:
        ledger = ledger_on(log)
        found(ledger, OWNER)
        anchor = told(ledger, steps)
        check_ledger(ledger)
        report = verify_ledger(ledger, OWNER, anchor=anchor)
        assert report.findings == []
        assert report.ok


@settings(max_examples=count(60, 1_000), deadline=None)
@given(HISTORIES)
def test_any_history_in_memory_holds(steps: list[Step]) -> None:
    holds("fake", steps)


@pytest.mark.long
@settings(max_examples=count(25, 400), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(HISTORIES)
def test_any_history_on_a_disk_holds(steps: list[Step]) -> None:
    holds("sqlite", steps)


@settings(max_examples=count(15, 200), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(HISTORIES)
def test_both_kinds_of_store_give_the_same_bytes(steps: list[Step]) -> None:
    assert stored_bytes("fake", steps) == stored_bytes("sqlite", steps)


def stored_bytes(kind: str, steps: list[Step]) -> list[bytes]:
    with tempfile.TemporaryDirectory() as folder, STORES[kind](Path(folder) / "folder") as log:
        ledger = ledger_on(log)
        found(ledger, OWNER)
        told(ledger, steps)
        with log.read() as reader:
            return [each.data for each in reader.stored(1, 1000)]

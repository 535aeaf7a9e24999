"""A look that was begun: held from step to step, one for each book, for a week, and let go of by an erasure."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.accounts import LOOK_BYTES, LOOK_FOR, Accounts
from ledger.bootstrap import OWNER, open_ledger
from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases import sign_in
from ledger.usecases.begun import begun, end_look, hold_look
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock

FIELDS = (("step", "spine"), ("known.d1.is", "gone"))


@pytest.fixture
def ledger(tmp_path: object, clock: FakeClock, chance: FakeChance) -> Iterator[Ledger]:
    settings = Settings(folder=f"{tmp_path}/collection", keys=f"{tmp_path}/keys")
    with open_ledger(settings, clock=clock, chance=chance, collection=COLLECTION) as opened:
        yield opened


@pytest.fixture
def accounts(ledger: Ledger) -> Accounts:
    assert ledger.accounts is not None
    sign_in.enter(ledger.accounts)
    return ledger.accounts


def held(accounts: Accounts, book: str = "b") -> tuple[tuple[str, str], ...] | None:
    form = begun(accounts, book, accounts.owner)
    return form.fields if form is not None else None


def test_one_look_is_held_for_each_book_in_place_of_the_one_before(accounts: Accounts) -> None:
    assert held(accounts) is None
    assert hold_look(accounts, "b", accounts.owner, FIELDS)
    assert hold_look(accounts, "c", accounts.owner, FIELDS[:1])
    assert (held(accounts), held(accounts, "c")) == (FIELDS, FIELDS[:1])
    assert hold_look(accounts, "b", accounts.owner, FIELDS[1:])
    assert held(accounts) == FIELDS[1:]
    end_look(accounts, "b")
    assert (held(accounts), held(accounts, "c")) == (None, FIELDS[:1])


def test_it_is_held_for_a_week_from_its_last_step(accounts: Accounts, clock: FakeClock) -> None:
    hold_look(accounts, "b", accounts.owner, FIELDS)
    clock.time += LOOK_FOR - timedelta(minutes=1)
    sign_in.sweep(accounts)
    assert held(accounts) == FIELDS
    clock.time += timedelta(minutes=1)
    assert held(accounts) is None
    clock.time += timedelta(minutes=1)
    sign_in.sweep(accounts)
    with accounts.store.read() as reader:
        assert reader.waiting("look-b") is None


def test_somebody_else_does_not_find_it(accounts: Accounts) -> None:
    hold_look(accounts, "b", accounts.owner, FIELDS)
    assert begun(accounts, "b", "somebody") is None


def test_one_that_is_too_long_is_not_held_and_what_was_held_stays(accounts: Accounts) -> None:
    hold_look(accounts, "b", accounts.owner, FIELDS)
    assert not hold_look(accounts, "b", accounts.owner, (("remark", "x" * LOOK_BYTES),))
    assert held(accounts) == FIELDS


def test_an_erasure_lets_go_of_it(ledger: Ledger, accounts: Accounts) -> None:
    book = record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)]).entries[0].book
    note = record(ledger, OWNER, [Draft(event=Note(words=Sealed.of("a name")), book=book)]).entries[0]
    hold_look(accounts, "b", accounts.owner, (("remark", "a name"),))
    erasure = Erasure(entry=note.seq, names=("words",))
    record(replace(ledger, accounts=accounts), OWNER, [Draft(event=erasure, book=book)])
    assert held(accounts) is None

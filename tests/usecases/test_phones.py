"""What a phone at the bench may do: bench work, held against every kind there is; and how it is ended."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.accounts import IDLE_MOST, SESSION_MOST, Accounts
from ledger.actor import BENCH_KINDS, Actor, Permission, needed_for
from ledger.bootstrap import open_ledger
from ledger.errors import ForbiddenError, InvalidError, NotFoundError
from ledger.events import KINDS
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.phones import NAME_MOST, end_phone, end_phones, join, named, phones
from ledger.usecases.record import Draft, record
from ledger.usecases.sign_in import actor_of, enter, sign_out, signed_in
from ledger.usecases.tokens import issue_token, tokens
from tests.builders import a_purchase, an_examination, an_intervention
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER

PHONE = Actor(id="owner", scopes=frozenset({Permission.READ, Permission.BENCH}))
AT_THE_BENCH = {"choice", "count", "examination", "intervention", "note", "opening", "photograph"}
"""Our decision: what hands do with the book before them. Everything else is done sitting at the computer."""


@pytest.fixture
def ledger(settings: Settings, clock: FakeClock) -> Iterator[Ledger]:
    """A founded ledger on SQLite, with accounts."""
    with open_ledger(settings, clock=clock) as opened:
        yield opened


def people(ledger: Ledger) -> Accounts:
    assert ledger.accounts is not None
    return ledger.accounts


@pytest.mark.parametrize("kind", KINDS)
def test_of_all_kinds_a_phone_writes_bench_work_and_nothing_else(ledger: Ledger, kind: str) -> None:
    bare = KINDS[kind].__new__(KINDS[kind])
    """Its fields are never looked at: whether it may be written is asked first."""
    assert PHONE.may_write(kind) is (kind in AT_THE_BENCH)
    if kind not in AT_THE_BENCH:
        with pytest.raises(ForbiddenError):
            record(ledger, PHONE, [Draft(event=bare, book="b")])
    assert OWNER.may_write(kind)


def test_every_kind_that_is_bench_work_is_there_and_one_that_nobody_thought_of_is_none() -> None:
    assert BENCH_KINDS == AT_THE_BENCH
    assert set(KINDS) > BENCH_KINDS
    assert needed_for("a kind of tomorrow") == (Permission.RECORD,)


def test_an_act_is_bench_work_only_if_all_of_it_is(ledger: Ledger) -> None:
    book = record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)]).entries[0].book
    mixed = [Draft(event=an_examination(), book=book), Draft(event=a_purchase(), new_book=True)]
    with pytest.raises(ForbiddenError):
        record(ledger, PHONE, mixed)
    (written,) = record(ledger, PHONE, mixed[:1]).entries
    assert (written.event.kind, written.actor) == ("examination", "owner")
    assert record(ledger, PHONE, [Draft(event=an_intervention(), book=book)]).entries


def test_who_may_record_may_work_at_the_bench_and_not_the_other_way_round() -> None:
    program = replace(PHONE, scopes=frozenset({Permission.RECORD}))
    assert program.may(Permission.BENCH)
    assert not PHONE.may(Permission.RECORD)
    assert not replace(PHONE, scopes=frozenset({Permission.READ})).may(Permission.BENCH)
    assert not replace(PHONE, scopes=frozenset()).may(Permission.BENCH)


def test_a_phone_signs_nothing_and_has_no_way_to_tokens_or_phones(ledger: Ledger) -> None:
    with pytest.raises(ForbiddenError):
        sign_checkpoint(ledger, PHONE)
    with pytest.raises(ForbiddenError):
        issue_token(ledger, PHONE, label="x", permissions=[Permission.READ], days=1)
    with pytest.raises(ForbiddenError):
        tokens(ledger, PHONE)
    for act in (lambda: phones(people(ledger), PHONE), lambda: end_phones(people(ledger), PHONE)):
        with pytest.raises(ForbiddenError):
            act()


@pytest.mark.parametrize("text", ["", "  \n ", "x" * (NAME_MOST + 1), "a\x00b", "a\N{RIGHT-TO-LEFT OVERRIDE}b"])
def test_a_name_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(InvalidError, match="1 to 40 characters"):
        named(text)


def test_a_name_is_kept_as_it_was_given_with_single_spaces() -> None:
    assert named("  Zoë's   grey phone ") == "Zoë's grey phone"
    assert named("x" * NAME_MOST) == "x" * NAME_MOST


def test_a_phone_acts_as_the_owner_with_less(ledger: Ledger) -> None:
    who = signed_in(people(ledger), join(people(ledger), "Grey phone"))
    assert who is not None
    assert (who.session.phone, who.session.confirmed) == ("Grey phone", None)
    assert actor_of(who) == PHONE
    whole = signed_in(people(ledger), enter(people(ledger)))
    assert whole is not None
    assert actor_of(whole) == Actor(id="owner")


def test_each_phone_is_listed_and_ends_by_itself(ledger: Ledger) -> None:
    accounts = people(ledger)
    whole = enter(accounts)
    first, second, third = (join(accounts, name) for name in ("first", "second", "second"))
    assert [each.phone for each in phones(accounts, OWNER)] == ["first", "second", "second"]
    assert end_phone(accounts, OWNER, phones(accounts, OWNER)[1].id).phone == "second"
    assert [signed_in(accounts, each) is None for each in (whole, first, second, third)] == [False, False, True, False]
    assert end_phones(accounts, OWNER) == 2
    assert [signed_in(accounts, each) is None for each in (whole, first, second, third)] == [False, True, True, True]
    assert end_phones(accounts, OWNER) == 0


def test_only_a_phone_that_is_in_can_be_ended_by_its_name(ledger: Ledger) -> None:
    accounts = people(ledger)
    who = signed_in(accounts, enter(accounts))
    assert who is not None
    for name in (who.session.id, "", "0" * 16):
        with pytest.raises(NotFoundError, match="paired phone"):
            end_phone(accounts, OWNER, name)
    assert signed_in(accounts, enter(accounts)) is not None


def test_joining_ends_the_session_that_was_in_the_same_browser(ledger: Ledger) -> None:
    accounts = people(ledger)
    old = join(accounts, "Grey phone")
    again = join(accounts, "Grey phone", old=old)
    assert signed_in(accounts, old) is None
    assert signed_in(accounts, again) is not None
    assert len(phones(accounts, OWNER)) == 1


@pytest.mark.parametrize("long", [IDLE_MOST, SESSION_MOST])
def test_a_phone_that_has_run_out_is_out_and_in_no_list(ledger: Ledger, clock: FakeClock, long: timedelta) -> None:
    accounts = people(ledger)
    secret = join(accounts, "Grey phone")
    clock.time += long
    assert phones(accounts, OWNER) == []
    assert signed_in(accounts, secret) is None


def test_signing_out_everywhere_ends_phones_too(ledger: Ledger) -> None:
    accounts = people(ledger)
    secret = join(accounts, "Grey phone")
    sign_out(accounts, "owner")
    assert signed_in(accounts, secret) is None

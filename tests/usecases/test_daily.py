"""The program signs once a day what was written since, and nothing where nothing was."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.errors import HeldError
from ledger.held import HeldLog
from ledger.usecases.daily import EVERY, sign_if_due
from tests.fakes import FakeClock
from tests.usecases.telling import Teller


def test_the_first_is_signed_a_day_after_the_first_entry(teller: Teller, clock: FakeClock) -> None:
    teller.buy()
    assert sign_if_due(teller.ledger) is None
    clock.time += timedelta(hours=25)
    signed = sign_if_due(teller.ledger)
    assert signed is not None
    with teller.ledger.log.read() as reader:
        assert (signed.size, reader.last_checkpoint()) == (reader.head().size, signed)


def test_nothing_is_signed_where_nothing_was_written(teller: Teller, clock: FakeClock) -> None:
    teller.buy()
    clock.time += timedelta(hours=25)
    assert sign_if_due(teller.ledger) is not None
    clock.time += timedelta(hours=25)
    assert sign_if_due(teller.ledger) is None


def test_it_is_a_day_from_one_to_the_next(teller: Teller, clock: FakeClock) -> None:
    teller.buy()
    clock.time += timedelta(hours=25)
    first = sign_if_due(teller.ledger)
    assert first is not None
    teller.buy()
    clock.time = first.signed + EVERY / 2
    assert sign_if_due(teller.ledger) is None
    clock.time = first.signed + EVERY
    second = sign_if_due(teller.ledger)
    assert second is not None
    assert second.size > first.size


def test_nothing_is_signed_while_the_ledger_is_held(teller: Teller, clock: FakeClock) -> None:
    teller.buy()
    clock.time += timedelta(hours=25)
    held = replace(teller.ledger, log=HeldLog(teller.ledger.log, "Entries are missing."))
    with pytest.raises(HeldError):
        sign_if_due(held)

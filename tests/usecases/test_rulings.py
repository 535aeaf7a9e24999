"""The rulings in force: by table and row, as corrected, the last of several, none that was withdrawn."""

import pytest

from ledger.actor import Actor
from ledger.errors import ForbiddenError
from ledger.events.correction import Correction
from ledger.events.ruling import NewValue, Ruling
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.rules._tables import table
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from ledger.usecases.rulings import rulings
from tests.usecases.telling import OWNER, Teller

PLACE = ("techniques", "dry-cleaning")


def a_ruling(field: str = "removes_original", value: str = "yes", row: str = PLACE[1]) -> Ruling:
    return Ruling(
        table=PLACE[0],
        row=row,
        version=table(PLACE[0]).version,
        values=(NewValue(field=field, value=value),),
        why=Sealed.of("so it looked under the glass"),
    )


def ruled(ledger: Ledger, ruling: Ruling) -> int:
    return record(ledger, OWNER, [Draft(event=ruling)]).entries[0].seq


def values(ledger: Ledger) -> dict[tuple[str, str], tuple[int, str]]:
    return {place: (each.seq, each.ruling.values[0].value) for place, each in rulings(ledger, OWNER).items()}


def test_a_ruling_is_found_by_its_table_and_row(teller: Teller) -> None:
    assert values(teller.ledger) == {}
    first = ruled(teller.ledger, a_ruling())
    other = ruled(teller.ledger, a_ruling(row="cold-press"))
    assert values(teller.ledger) == {PLACE: (first, "yes"), (PLACE[0], "cold-press"): (other, "yes")}
    assert rulings(teller.ledger, OWNER)[PLACE].ruling.why == Sealed.of("so it looked under the glass")


def test_the_last_ruling_on_a_row_counts_and_withdrawing_it_brings_the_one_before_back(teller: Teller) -> None:
    first = ruled(teller.ledger, a_ruling())
    second = ruled(teller.ledger, a_ruling(value="not-known"))
    assert values(teller.ledger) == {PLACE: (second, "not-known")}
    record(teller.ledger, OWNER, [Draft(event=Withdrawal(entry=second, reason=Sealed.of("mistaken")))])
    assert values(teller.ledger) == {PLACE: (first, "yes")}


def test_a_ruling_counts_as_it_was_corrected(teller: Teller) -> None:
    seq = ruled(teller.ledger, a_ruling())
    changes = {"values": [{"field": "removes_original", "value": "not-known"}]}
    record(teller.ledger, OWNER, [Draft(event=Correction(entry=seq, changes=changes, reason=Sealed.of("a slip")))])
    assert values(teller.ledger) == {PLACE: (seq, "not-known")}


def test_reading_them_takes_the_permission_to_read(ledger: Ledger) -> None:
    with pytest.raises(ForbiddenError):
        rulings(ledger, Actor(id="owner", scopes=frozenset()))

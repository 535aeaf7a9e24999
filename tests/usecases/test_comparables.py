"""Comparables are the owner's to keep; a table is kept whole or not at all, and nothing of it enters the ledger."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.bootstrap import open_ledger
from ledger.errors import ConflictError, ForbiddenError, InvalidError, NotFoundError
from ledger.events._parts import Issue
from ledger.events.ruling import NewValue, Ruling
from ledger.market import Came
from ledger.rules.fair_price import value_at
from ledger.rules.fair_terms import terms
from ledger.rules.grades import Grade
from ledger.sale_rows import Reading, SaleSaid
from ledger.sales import Aside, Asked
from ledger.settings import Settings
from ledger.usecases import comparables as work
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER, Teller

LAMP = Issue(title="Harbor Lamp", number="14", start_year=1952)
READING = Reading(day=date(2026, 3, 1), currency="USD")
SAID = SaleSaid(on="3 Apr 2024", grade="NM-", price="1,250.00", where="an auction", holding="slabbed")
TABLE = "date\tgrade\tprice\n" + "\n".join(f"2025-0{at}-01\t7.5\t{100 + at}.00" for at in range(1, 7))
READER = Actor(id="owner", scopes=frozenset({Permission.READ}))
ASKED = Asked(on=date(2026, 3, 1), currency="USD")


@pytest.fixture
def at(tmp_path: Any, clock: FakeClock) -> Any:
    """A teller whose ledger has a market beside it."""
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings, clock=clock) as ledger:
        yield Teller(ledger)


def size(at: Teller) -> int:
    with at.ledger.log.read() as reader:
        return len(list(reader.of_collection()))


def test_a_sale_is_kept_changed_left_out_with_a_reason_taken_in_and_taken_away(at: Teller) -> None:
    made = work.add_sale(at.ledger, OWNER, LAMP, SAID, READING)
    assert work.look_at_sales(at.ledger, OWNER, LAMP) == (made,)
    assert (str(made.price), str(made.grade), made.came) == ("1250.00 USD", "9.2", Came.BY_HAND)
    out = work.leave_out(at.ledger, OWNER, made.id, " it was  restored ")
    assert out == replace(made, left_out="it was restored")
    changed = work.change_sale(at.ledger, OWNER, made.id, replace(SAID, price="1300"), READING)
    assert (changed.id, changed.made, str(changed.price), changed.left_out) == (
        made.id, made.made, "1300.00 USD", "it was restored",
    )  # fmt: skip
    assert work.take_in(at.ledger, OWNER, made.id).left_out == ""
    work.take_sale(at.ledger, OWNER, made.id)
    assert work.look_at_sales(at.ledger, OWNER, LAMP) == ()


def test_nothing_of_it_enters_the_ledger(at: Teller) -> None:
    before = size(at)
    work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING)
    assert size(at) == before


def test_a_table_is_kept_whole_or_not_at_all(at: Teller) -> None:
    with pytest.raises(InvalidError) as caught:
        work.keep_table(at.ledger, OWNER, LAMP, f"{TABLE}\n2025\t9.3\tsome", READING)
    assert [each.field for each in caught.value.problems] == ["rows.7.grade", "rows.7.price"]
    assert work.look_at_sales(at.ledger, OWNER, LAMP) == ()
    kept = work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING, came=Came.FILE)
    assert len(kept) == 6
    assert {each.came for each in work.look_at_sales(at.ledger, OWNER, LAMP)} == {Came.FILE}


def test_a_table_pasted_twice_is_shown_as_doubles_and_kept_only_where_that_is_said(at: Teller) -> None:
    first = work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING)
    more = f"{TABLE}\n2025-12-01\t8.0\t150.00"
    shown = work.preview(at.ledger, OWNER, LAMP, more, READING)
    assert shown.doubles == {at: first[at - 1].id for at in range(1, 7)}
    with pytest.raises(ConflictError, match="row 1, 2, 3, 4, 5, 6"):
        work.keep_table(at.ledger, OWNER, LAMP, more, READING)
    assert len(work.keep_table(at.ledger, OWNER, LAMP, more, READING, rows={7})) == 1
    assert len(work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING, rows={1}, keep_doubles=True)) == 1
    assert len(work.look_at_sales(at.ledger, OWNER, LAMP)) == 8


def test_no_row_chosen_is_refused(at: Teller) -> None:
    with pytest.raises(InvalidError):
        work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING, rows=set())


def test_an_issue_has_no_more_comparables_than_anybody_needs(at: Teller, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "SALES_MOST", 7)
    work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING)
    work.add_sale(at.ledger, OWNER, LAMP, SAID, READING)
    with pytest.raises(ConflictError):
        work.add_sale(at.ledger, OWNER, LAMP, SAID, READING)


def test_the_value_is_that_of_the_sales_that_count_on_that_day(at: Teller) -> None:
    work.keep_table(at.ledger, OWNER, LAMP, TABLE, READING)
    later = work.add_sale(at.ledger, OWNER, LAMP, replace(SAID, on="1 March 2026", price="9999"), READING)
    out = work.leave_out(at.ledger, OWNER, work.add_sale(at.ledger, OWNER, LAMP, SAID, READING).id, "restored")
    found = work.fair_value(at.ledger, OWNER, LAMP, replace(ASKED, on=date(2026, 2, 1)))
    assert found.counted.aside == {later.id: Aside.LATER, out.id: Aside.LEFT_OUT}
    value = value_at(found.fit, Grade("7.5"))
    assert value is not None
    assert 101 * 100 < value.mid.minor < 106 * 100
    assert len(value.sales) == 6
    empty = work.fair_value(at.ledger, OWNER, replace(LAMP, number="15"), ASKED)
    assert (empty.fit.enough, empty.fit.count) == (False, 0)


def test_a_ruling_on_the_half_life_counts_here(at: Teller) -> None:
    assert work.terms_here(at.ledger, OWNER) == terms()
    at.add(None, Ruling(table="fair_value", row="half-life", version=1, values=(NewValue(field="value", value="365"),)))
    assert work.terms_here(at.ledger, OWNER) == replace(terms(), half_life_days=365)


def test_only_who_may_record_keeps_a_sale_and_who_may_read_sees_it(at: Teller) -> None:
    made = work.add_sale(at.ledger, OWNER, LAMP, SAID, READING)
    assert work.look_at_sale(at.ledger, READER, made.id) == made
    for attempt in (
        lambda: work.add_sale(at.ledger, READER, LAMP, SAID, READING),
        lambda: work.keep_table(at.ledger, READER, LAMP, TABLE, READING),
        lambda: work.change_sale(at.ledger, READER, made.id, SAID, READING),
        lambda: work.leave_out(at.ledger, READER, made.id, "x"),
        lambda: work.take_in(at.ledger, READER, made.id),
        lambda: work.take_sale(at.ledger, READER, made.id),
    ):
        with pytest.raises(ForbiddenError):
            attempt()


def test_what_is_not_there_is_not_found(at: Teller) -> None:
    for attempt in (
        lambda: work.look_at_sale(at.ledger, OWNER, "none"),
        lambda: work.change_sale(at.ledger, OWNER, "none", SAID, READING),
        lambda: work.take_in(at.ledger, OWNER, "none"),
        lambda: work.take_sale(at.ledger, OWNER, "none"),
    ):
        with pytest.raises(NotFoundError):
            attempt()


def test_a_reason_is_needed_to_leave_a_sale_out(at: Teller) -> None:
    made = work.add_sale(at.ledger, OWNER, LAMP, SAID, READING)
    for reason in ("", " ", "x" * 201):
        with pytest.raises(InvalidError):
            work.leave_out(at.ledger, OWNER, made.id, reason)

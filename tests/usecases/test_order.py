"""What is written late is checked where it belongs; what cannot have happened is refused, what might is warned of."""

import pytest

from ledger.errors import InvalidError, RuleError
from ledger.events._parts import Holding
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Slab
from ledger.usecases.record import Draft
from tests.builders import a_purchase, a_slab, a_stated_grade, an_examination, an_intervention, an_opening, on
from tests.usecases.tampering import a_note
from tests.usecases.telling import Teller


def a_sale(when: str) -> Sale:
    return Sale(on=on(when), disclosed=Disclosed.NOTHING)


def test_an_entry_from_before_the_last_one_is_checked_in_its_own_time(teller: Teller) -> None:
    book = teller.tell(Draft(event=a_slab("2001"), new_book=True)).entries[0].book
    assert book
    teller.add(book, an_opening("2005-05-05"))
    late = teller.add(book, an_intervention(when="2006-01-01"))
    assert late.book_seq == 3
    error = teller.refused(Draft(event=an_intervention(when="2004-01-01"), book=book), error=RuleError)
    assert {each.field for each in error.problems} == {"on"}


def test_a_certain_conflict_names_the_entries_in_its_way(teller: Teller) -> None:
    book = teller.buy(when="2001-01-01")
    sold = teller.add(book, a_sale("2010-01-01"))
    error = teller.refused(Draft(event=an_examination("2011-01-01"), book=book), error=RuleError)
    assert error.entries == (sold.seq,)
    looked = teller.add(book, an_examination("2009-01-01"))
    error = teller.refused(
        Draft(event=Correction(entry=sold.seq, changes={"on": "2008-01-01"}), book=book), error=RuleError
    )
    assert looked.seq in error.entries
    assert f"With this, entry {looked.seq} could not have happened" in str(error)


def test_dates_too_vague_to_tell_the_order_are_warned_of_and_the_warning_is_kept_for_the_key(teller: Teller) -> None:
    book = teller.buy(when="2001-01-01")
    teller.add(book, a_sale("2010-06-01"))
    vague = Draft(event=an_examination("2010"), book=book)
    told = teller.tell(vague, key="k", body=b"x")
    assert len(told.warnings) == 1
    assert told.warnings[0].startswith("The dates are too vague to tell the order; were it the other way round: The")
    again = teller.tell(vague, key="k", body=b"x")
    assert (again.replayed, again.warnings) == (True, told.warnings)


def test_a_book_in_other_hands_is_not_taken_for_back_by_a_grade_nobody_sent_it_for(teller: Teller) -> None:
    book = teller.buy(when="2001-01-01")
    out = teller.add(book, Custody(on=on("2002-01-01"), direction=Direction.OUT, to_whom=Hands.CONSERVATOR))
    graded = Slab(on=on("2003-01-01"), submission_known=False, stated=a_stated_grade("9.4", "9.4"))
    told = teller.tell(Draft(event=graded, book=book))
    said = f"The book is in other hands since entry {out.seq}, and this does not say that it came back."
    assert told.warnings == (f"{said} Say when it did, or write its return.",)
    with teller.ledger.log.read() as reader:
        row = reader.book(book)
    assert (row.status, row.holding) == ("in other hands", "slabbed")
    assert teller.tell(Draft(event=Custody(on=on("2003-02-01"), direction=Direction.BACK), book=book)).warnings == ()


def test_what_is_odd_is_judged_where_the_entry_stands_in_the_order_of_happening(teller: Teller) -> None:
    book = teller.buy(when="2001-01-01")
    teller.add(book, Custody(on=on("2002-01-01"), direction=Direction.OUT, to_whom=Hands.CONSERVATOR))
    earlier = Slab(on=on("2001-06-01"), submission_known=False, stated=a_stated_grade("9.4", "9.4"))
    assert teller.tell(Draft(event=earlier, book=book)).warnings == ()


def test_a_holder_number_that_stands_on_another_book_is_warned_of(teller: Teller) -> None:
    first = teller.tell(Draft(event=a_slab(), new_book=True)).entries[0].book
    second = teller.tell(Draft(event=a_slab(), new_book=True))
    assert second.warnings == (f"Holder number A-77 stands on another book too: {first}.",)
    third = teller.buy(holding=Holding.SLABBED, holder_number="A-78")
    with teller.ledger.log.read() as reader:
        seq = reader.of_book(third)[0].seq
    corrected = teller.tell(Draft(event=Correction(entry=seq, changes={"holder_number": "A-77"}), book=third))
    assert corrected.warnings == (f"Holder number A-77 stands on another book too: {first}, {second.entries[0].book}.",)


def test_two_books_of_one_act_with_one_holder_number_are_warned_of_too(teller: Teller) -> None:
    drafts = [Draft(event=a_slab(), new_book=True, id=name) for name in ("b-one", "b-two")]
    assert teller.tell(*drafts).warnings == ("Holder number A-77 stands on another book too: b-one.",)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"holder_number": "A-1"}, "changes.holder_number"),
        ({"holding": "in a drawer"}, "changes.holding"),
        ({"issue": {"title": ""}}, "changes.issue.title"),
    ],
)
def test_what_a_correction_would_make_wrong_is_told_under_the_place_of_its_event(
    teller: Teller, changes: dict[str, object], field: str
) -> None:
    book = teller.buy()
    correction = Draft(event=Correction(entry=2, changes=changes), book=book)
    alone = teller.refused(correction, error=InvalidError)
    assert field in [each.field for each in alone.problems]
    among = teller.refused(Draft(event=a_note("x"), book=book), correction, error=InvalidError)
    assert [each.field for each in among.problems] == [f"events.1.{each.field}" for each in alone.problems]


def test_a_corrected_date_moves_the_entry_in_the_order_of_happening(teller: Teller) -> None:
    book = teller.buy(when="2001-01-01")
    sold = teller.add(book, a_sale("2002-01-01"))
    error = teller.refused(
        Draft(event=Correction(entry=sold.seq, changes={"on": "2000-01-01"}), book=book), error=RuleError
    )
    assert f"With this, entry {sold.seq} could not have happened" in str(error)
    teller.add(book, Correction(entry=2, changes={"on": "1999-01-01"}))
    assert teller.add(book, Correction(entry=sold.seq, changes={"on": "2000-01-01"})).book_seq == 4
    with teller.ledger.log.read() as reader:
        assert reader.book(book).since == "1999-01-01"


def test_a_second_purchase_of_a_book_that_is_here_is_refused(teller: Teller) -> None:
    book = teller.buy()
    error = teller.refused(Draft(event=a_purchase("2024-06-01"), book=book), error=RuleError)
    assert [(each.rule, each.entries) for each in error.problems] == [("purchase.1", (2,))]

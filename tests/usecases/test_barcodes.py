"""A barcode leads to the issue that a book told, to the copies of it, and by its series to what it may be."""

from dataclasses import replace

import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.bars import ZxingBars
from ledger.barcodes import Barcode, read_barcode
from ledger.bootstrap import OWNER
from ledger.care import CareRow, Drawer
from ledger.errors import ConflictError, ForbiddenError, InvalidError, NotFoundError
from ledger.events.identification import Identification
from ledger.ports import Ledger
from ledger.usecases.barcodes import forget_barcode, keep_barcode, look_at_barcode, read_picture
from ledger.usecases.record import Draft, record
from tests.barred import a_barcode, on_a_page
from tests.builders import a_purchase, an_issue, on

CODE = read_barcode("614141000036-01411")
NEXT = read_barcode("614141000036-01521")


def bought(ledger: Ledger, **issue: object) -> str:
    made = record(ledger, OWNER, [Draft(event=a_purchase(issue=an_issue(**issue)), new_book=True)])
    book = made.entries[0].book
    assert book is not None
    return book


def test_nothing_is_known_of_a_code_that_no_book_told(ledger: Ledger) -> None:
    found = look_at_barcode(ledger, OWNER, CODE)
    assert (found.issue, found.remembered, found.books) == (None, False, ())
    assert found.proposal is not None
    assert found.proposal.number == "14"


def test_a_code_leads_to_the_issue_of_its_book_and_to_all_copies_of_it(ledger: Ledger) -> None:
    first, second = bought(ledger, cover_date=on("1964-03")), bought(ledger)
    bought(ledger, number="15")
    bought(ledger, printing=2)
    found = keep_barcode(ledger, OWNER, CODE, first)
    assert found == look_at_barcode(ledger, OWNER, CODE)
    assert found.remembered
    assert found.issue == an_issue(cover_date=on("1964-03"))
    assert [row.book for row in found.books] == [first, second]


def test_a_code_of_the_same_series_is_proposed_with_its_own_number_and_printing(ledger: Ledger) -> None:
    keep_barcode(ledger, OWNER, CODE, bought(ledger, cover_date=on("1964-03"), variant="B"))
    owned = bought(ledger, number="15", start_year=1962)
    found = look_at_barcode(ledger, OWNER, NEXT)
    assert not found.remembered
    assert found.issue == an_issue(number="15", printing=1)
    assert [row.book for row in found.books] == [owned]


def test_a_code_without_digits_beside_it_proposes_no_number(ledger: Ledger) -> None:
    keep_barcode(ledger, OWNER, CODE, bought(ledger))
    assert look_at_barcode(ledger, OWNER, Barcode(number=CODE.number)).issue is None


def test_a_code_follows_its_book_when_it_is_known_better(ledger: Ledger) -> None:
    book = bought(ledger)
    keep_barcode(ledger, OWNER, CODE, book)
    better = an_issue(number="14", printing=2)
    record(ledger, OWNER, [Draft(event=Identification(on=on("2024-05-01"), issue=better, how="indicia"), book=book)])
    assert look_at_barcode(ledger, OWNER, CODE).issue == better


def test_a_row_whose_book_is_not_here_still_tells_its_issue_and_a_harmed_one_tells_nothing(ledger: Ledger) -> None:
    assert ledger.care is not None
    said = {"title": "Captain Lantern", "number": "14", "start_year": 1962, "cover_date": "1964-03", "book": "gone"}
    row = CareRow(id=f"barcode/{CODE.number}/{CODE.add_on}", made=ledger.clock.now(), said=said)
    ledger.care.write(lambda writer: writer.put(Drawer.CARE, row))
    assert look_at_barcode(ledger, OWNER, CODE).issue == an_issue(cover_date=on("1964-03"))
    harmed = CareRow(id=row.id, made=row.made, said={"title": 4})
    ledger.care.write(lambda writer: writer.put(Drawer.CARE, harmed))
    assert look_at_barcode(ledger, OWNER, CODE).issue is None


def test_a_code_is_forgotten_once(ledger: Ledger) -> None:
    keep_barcode(ledger, OWNER, CODE, bought(ledger))
    forget_barcode(ledger, OWNER, CODE)
    assert look_at_barcode(ledger, OWNER, CODE).issue is None
    with pytest.raises(NotFoundError):
        forget_barcode(ledger, OWNER, CODE)


def test_a_book_that_is_not_here_tells_nothing(ledger: Ledger) -> None:
    with pytest.raises(NotFoundError):
        keep_barcode(ledger, OWNER, CODE, "nobody")


def test_who_may_only_read_looks_and_keeps_nothing(ledger: Ledger) -> None:
    reader = Actor(id="owner", scopes={Permission.READ})
    book = bought(ledger)
    assert look_at_barcode(ledger, reader, CODE).books == ()
    for keep in (lambda: keep_barcode(ledger, reader, CODE, book), lambda: forget_barcode(ledger, reader, CODE)):
        with pytest.raises(ForbiddenError):
            keep()


def test_a_picture_is_read_and_a_file_that_is_none_is_refused(ledger: Ledger) -> None:
    seeing = replace(ledger, bars=ZxingBars())
    assert read_picture(seeing, OWNER, on_a_page(a_barcode(CODE.number, CODE.add_on))) == (CODE,)
    with pytest.raises(InvalidError):
        read_picture(seeing, OWNER, b"nothing")
    with pytest.raises(ConflictError):
        read_picture(replace(ledger, bars=None), OWNER, b"")

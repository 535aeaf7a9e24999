"""A record is chosen, seen, made and kept; it checks, shows nothing that was not chosen, and goes on to the next owner."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.errors import ConflictError, ForbiddenError, InvalidError, NotFoundError
from ledger.events.disclosure import Disclosure
from ledger.events.erasure import Erasure
from ledger.events.photograph import Crop
from ledger.events.withdrawal import Withdrawal
from ledger.proof.forms import check_file
from ledger.sealed import Sealed
from ledger.usecases.choose import Wish, choices, preview
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import (
    Form,
    count_opening,
    end_link,
    given,
    links_of,
    made_record,
    make_link,
    record_at,
    records_of,
)
from ledger.usecases.photograph import Shown, photograph_group
from ledger.usecases.record import Draft, Request
from tests.fakes import FakeClock
from tests.pictures import a_picture
from tests.usecases.houses import AT_BENCH, House
from tests.usecases.telling import OWNER

CHECKED = (Form.PAGE, Form.BAG, Form.FILE)


@pytest.mark.parametrize("form", CHECKED)
def test_a_record_checks_in_every_form_with_the_makers_key(house: House, form: Form) -> None:
    book = house.worked_book()
    kept = issue(house.ledger, OWNER, book, Wish())
    report = check_file(given(house.ledger, made_record(house.ledger, OWNER, kept.sha256), form), [house.key])
    assert [each.sentence for each in report.findings] == []
    assert report.trusted
    assert report.entries[-1].kind == Disclosure.kind


@pytest.mark.parametrize("form", CHECKED)
def test_nothing_sealed_and_not_chosen_is_anywhere_in_it(house: House, form: Form) -> None:
    book = house.worked_book()
    made = made_record(house.ledger, OWNER, issue(house.ledger, OWNER, book, Wish(recipient="canary buyer")).sha256)
    data = given(house.ledger, made, form)
    spelled = [given(house.ledger, made, Form.FILE), *made.beside.values(), data]
    assert not [each for each in spelled if b"canary" in each or b"432199" in each or b"7731" in each]
    assert any("a steady hand" in entry.opened.values() for entry in check_file(data, [house.key]).entries)


def test_what_was_chosen_is_opened_and_the_entry_says_so(house: House) -> None:
    book = house.worked_book()
    purchase = next(each for each in choices(house.ledger, OWNER, book) if each.name == "seller")
    kept = issue(house.ledger, OWNER, book, Wish(opened=frozenset({(purchase.seq, "seller")})))
    report = check_file(kept.data, [house.key])
    assert report.ok
    shown = {(entry.seq, name): value for entry in report.entries for name, value in entry.opened.items()}
    assert shown == {(purchase.seq, "seller"): "canary seller"}
    told = report.entries[-1].body["opened"]
    assert told == [{"entry": purchase.seq, "name": "seller"}]


def test_choices_name_every_sealed_value_and_what_a_record_opens_by_itself(house: House) -> None:
    book = house.worked_book()
    found = {each.name: each for each in choices(house.ledger, OWNER, book)}
    assert {"seller", "venue", "reason", "price", "remark", "who", "cost", "file_name"} <= set(found)
    assert {name for name, each in found.items() if each.usual} == {"who"}
    assert (found["seller"].title, found["seller"].event, found["seller"].value) == (
        "Seller",
        "Purchase",
        "canary seller",
    )


def test_a_preview_writes_nothing_and_is_what_is_made(house: House) -> None:
    book = house.worked_book()
    seen = house.teller.head, preview(house.ledger, OWNER, book, Wish())
    assert house.teller.head == seen[0]
    kept = issue(house.ledger, OWNER, book, Wish())
    report = check_file(kept.data, [house.key])
    assert report.file is not None
    assert report.file.sheet == seen[1].sheet


def test_a_field_or_photograph_that_is_not_the_books_is_refused(house: House) -> None:
    book = house.worked_book()
    for wish in (Wish(opened=frozenset({(1, "seller")})), Wish(pictures=frozenset({1}))):
        with pytest.raises(InvalidError):
            issue(house.ledger, OWNER, book, wish)


def test_a_group_picture_stays_at_home_for_it_shows_other_books(house: House) -> None:
    first, second = house.worked_book(), house.teller.buy()
    part = {"x_percent": 0, "y_percent": 0, "width_percent": 50, "height_percent": 100}
    shown = [Shown(book=each, said={"region": Crop(**part)}) for each in (first, second)]
    act = photograph_group(house.ledger, OWNER, a_picture("gold"), shown)
    seen = preview(house.ledger, OWNER, first, Wish())
    assert (len(seen.pictures), seen.left_out) == (2, (act.entries[0].seq,))


def test_a_withdrawn_photograph_does_not_go_along(house: House) -> None:
    book = house.worked_book()
    last = house.teller.head.size
    house.teller.add(book, Withdrawal(entry=last, reason=Sealed.of("another book")))
    assert len(preview(house.ledger, OWNER, book, Wish()).pictures) == 1


def test_the_same_request_makes_one_record(house: House) -> None:
    book = house.worked_book()
    asked = Request(key="k1", body=b"x")
    first = issue(house.ledger, OWNER, book, Wish(), asked)
    size = house.teller.head.size
    assert issue(house.ledger, OWNER, book, Wish(), asked) == first
    assert house.teller.head.size == size


def test_a_phone_at_the_bench_makes_no_record(house: House) -> None:
    book = house.worked_book()
    with pytest.raises(ForbiddenError):
        issue(house.ledger, AT_BENCH, book, Wish())


def test_a_ledger_without_its_store_of_records_makes_none(house: House) -> None:
    book = house.worked_book()
    with pytest.raises(ConflictError):
        issue(replace(house.ledger, handing=None), OWNER, book, Wish())


def test_a_link_opens_its_record_until_it_expires_or_is_ended(house: House, clock: FakeClock) -> None:
    book = house.worked_book()
    kept = issue(house.ledger, OWNER, book, Wish())
    link, secret = make_link(house.ledger, OWNER, kept.sha256, days=30)
    count_opening(house.ledger, secret)
    assert record_at(house.ledger, secret).kept == kept
    assert [(each.id, each.seen) for each in links_of(house.ledger, OWNER, book)] == [(link.id, 1)]
    assert secret not in repr(links_of(house.ledger, OWNER, book))
    clock.time += timedelta(days=30)
    with pytest.raises(NotFoundError):
        record_at(house.ledger, secret)
    _, again = make_link(house.ledger, OWNER, kept.sha256, days=1)
    end_link(house.ledger, OWNER, links_of(house.ledger, OWNER, book)[-1].id)
    for wrong in (again, "", "x" * 43):
        with pytest.raises(NotFoundError):
            record_at(house.ledger, wrong)


def test_what_is_erased_is_in_no_record_that_is_kept_here(house: House) -> None:
    book = house.worked_book()
    purchase = next(each for each in choices(house.ledger, OWNER, book) if each.name == "seller")
    kept = issue(house.ledger, OWNER, book, Wish(opened=frozenset({(purchase.seq, "seller")})))
    plain = issue(house.ledger, OWNER, book, Wish())
    make_link(house.ledger, OWNER, kept.sha256, days=1)
    told = house.teller.tell(Draft(event=Erasure(entry=purchase.seq, names=("seller",)), book=book))
    assert any("whoever received it still has it" in each for each in told.warnings)
    assert records_of(house.ledger, OWNER, book) == [plain]
    assert links_of(house.ledger, OWNER, book) == []


@pytest.mark.parametrize("days", [0, 367])
def test_a_link_lasts_a_day_to_a_year(house: House, days: int) -> None:
    kept = issue(house.ledger, OWNER, house.worked_book(), Wish())
    with pytest.raises(InvalidError):
        make_link(house.ledger, OWNER, kept.sha256, days=days)

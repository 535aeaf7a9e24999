"""Forms that start from an entry: a correction sends only what changed, a withdrawal says why, an erasure asks twice."""

from datetime import timedelta

import pytest

from ledger.entry import Entry
from ledger.events._parts import Holding
from ledger.events.correction import Correction
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.erasure import Erasure
from ledger.events.withdrawal import Withdrawal
from ledger.money import Money
from ledger.ports import Ledger
from ledger.sealed import Sealed, SealState
from ledger.usecases.look import look_at
from ledger.when import When
from tests.builders import a_purchase, an_issue
from tests.web.browser import Browser, Home, form_to, text_of
from tests.web.entry_forms import PATH, SENT, address, at, opened, sent
from tests.web.markup import read_page
from tests.web.typed import OWNER, last, size, typed_for, vectors, written

TODAY = When("2026-01-02")


def bought(ledger: Ledger, **more: object) -> Entry:
    """A slabbed book with all that the vector of a correction changes."""
    event = a_purchase(
        "2024-02-01",
        **{
            "issue": an_issue(title="Captain Lantern", number="14", start_year=1962),
            "holding": Holding.SLABBED,
            "holder_number": "0412-77-3",
            "price": Sealed.of(Money.of("410.00", "USD")),
            "seller": Sealed.of("M. Ashgrove"),
            "venue": Sealed.of("spring fair"),
            **more,
        },
    )
    return written(ledger, event)[0]


def corrected(ledger: Ledger) -> Correction:
    event = last(ledger).event
    assert isinstance(event, Correction)
    return event


def test_a_correction_begins_with_what_the_entry_says_today(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    fields = opened(signed_in, address("correction", entry=entry.seq)).fields
    assert fields["changes.issue.title"] == "Captain Lantern"
    assert fields["changes.on"] == "1 February 2024"
    assert fields["changes.price"] == "410.00 USD"
    assert fields["changes.holding"] == "slabbed"
    assert fields["changes.seller"] == "M. Ashgrove"


def test_only_what_changed_is_sent_as_the_vector_says(ledger: Ledger, signed_in: Browser) -> None:
    values = next(values for kind, values in vectors() if kind == "correction")
    entry = bought(ledger)
    form = opened(signed_in, address("correction", entry=entry.seq))
    changes = {
        "changes.holder_number": values["changes"]["holder_number"],
        "changes.price": "420.00 USD",
        "changes.on": "2 Feb 2024",
        "reason": values["reason"],
    }
    answer = signed_in.post(form.action, {**form.fields, **changes})
    assert answer.status_code == 303, text_of(answer)
    with ledger.log.read() as reader:
        chain = reader.of_book(entry.book or "")
    said = {**values, "entry": entry.seq, "on": str(TODAY)}
    assert corrected(ledger).complete(chain[:-1]) == ledger.codec.read("correction", said).complete(chain[:-1])
    assert look_at(ledger, OWNER, entry.book or "").book.holder_number == "0412-77-8"


def test_a_correction_of_nothing_is_refused(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    answer = sent(signed_in, address("correction", entry=entry.seq), {"reason": "no reason"})
    assert answer.status_code == 422
    assert "Nothing was changed." in text_of(answer)
    assert last(ledger).seq == entry.seq


def test_a_field_that_is_emptied_is_not_known_from_then_on(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    sent(signed_in, address("correction", entry=entry.seq), {"changes.issue.start_year": "", "changes.on": ""})
    assert corrected(ledger).changes["on"] is None
    issue = look_at(ledger, OWNER, entry.book or "").book.issue
    assert issue is not None
    assert (issue.title, issue.start_year) == ("Captain Lantern", None)


def test_a_sealed_field_that_is_emptied_points_to_its_erasure(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    answer = sent(signed_in, address("correction", entry=entry.seq), {"changes.seller": " "})
    assert answer.status_code == 409
    fault = at(read_page(answer.text), "changes.seller-fault").text
    assert fault == "To take seller out, erase it; a correction gives a new value."


def test_what_a_correction_would_make_wrong_is_told_at_the_changed_field(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    answer = sent(signed_in, address("correction", entry=entry.seq), {"changes.holding": "raw"})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert at(page, "changes.holder_number-fault").text.startswith("A holder number belongs to a slabbed book")
    assert at(page, "changes.holding").attrs["name"] == "changes.holding"
    assert last(ledger).seq == entry.seq


def test_a_correction_that_came_back_says_what_the_entry_says_today(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    typed = {"changes.issue.title": "Captain Latern", "changes.on": "soon"}
    page = read_page(sent(signed_in, address("correction", entry=entry.seq), typed).text)
    assert at(page, "changes.issue.title-note").text == "The entry says today: Captain Lantern."
    assert at(page, "changes.issue.title").attrs["value"] == "Captain Latern"


def test_an_entry_corrected_meanwhile_is_looked_at_again_first(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    form = opened(signed_in, address("correction", entry=entry.seq))
    sent(signed_in, address("correction", entry=entry.seq), {"changes.issue.number": "15"})
    answer = signed_in.post(form.action, {**form.fields, "changes.seller": "P. Hask"})
    assert answer.status_code == 422
    assert "This entry was corrected while you were typing." in text_of(answer)
    assert at(read_page(answer.text), "changes.issue.number-note").text == "The entry says today: 15."
    again = form_to(answer, PATH)
    signed_in.post(again.action, {**again.fields, "changes.issue.number": "15"})
    assert dict(corrected(ledger).changes) == {"seller": Sealed.of("P. Hask")}


def test_a_form_left_as_it_is_changes_nothing_for_any_kind(ledger: Ledger, signed_in: Browser) -> None:
    book = bought(ledger).book
    written(ledger, SENT, book=book)
    for kind, values in vectors():
        if kind in {"examination", "valuation", "placement", "outlook", "note", "identification"}:
            signed_in.post(address(kind, book), typed_for(kind, values))
            entry = last(ledger)
            if entry.event.kind == kind:
                answer = sent(signed_in, address("correction", entry=entry.seq), {})
                assert "Nothing was changed." in text_of(answer), kind


@pytest.mark.parametrize("kind", ["correction", "erasure"])
def test_an_entry_of_the_collection_is_mended_too(ledger: Ledger, signed_in: Browser, kind: str) -> None:
    sent(signed_in, address("note"), {"words": "Ask for the second staple photograph."})
    note = last(ledger)
    typed = {"changes.words": "Asked."} if kind == "correction" else {"names": ["words"]}
    answer = sent(signed_in, address(kind, entry=note.seq), typed)
    assert answer.headers["location"] == f"/ledger/{last(ledger).seq}"
    assert (last(ledger).book, last(ledger).event.kind) == (None, kind)


def test_what_is_not_corrected_has_no_form_for_it(ledger: Ledger, signed_in: Browser) -> None:
    assert signed_in.get(address("correction", entry=1)).status_code == 404, "a key"


def test_a_withdrawal_names_its_entry_and_says_why(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    (later,) = written(ledger, SENT, book=entry.book)
    page = signed_in.get(address("withdrawal", entry=later.seq))
    assert later.event.summary() in text_of(page)
    sent(signed_in, address("withdrawal", entry=later.seq), {"reason": "entered for the wrong book"})
    event = last(ledger).event
    assert isinstance(event, Withdrawal)
    assert (event.entry, event.on, event.reason.value) == (later.seq, TODAY, "entered for the wrong book")


def test_a_withdrawal_that_would_break_a_later_entry_is_refused_naming_it(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    (later,) = written(ledger, SENT, book=entry.book)
    answer = sent(signed_in, address("withdrawal", entry=entry.seq), {})
    assert answer.status_code == 409
    assert f"With this, entry {later.seq} could not have happened" in text_of(answer)
    assert [link.attrs["href"] for link in read_page(answer.text).one("div", class_="faults").all("a")] == [
        f"/ledger/{later.seq}"
    ]


def test_a_book_can_be_withdrawn_as_the_same_copy_as_another(ledger: Ledger, signed_in: Browser) -> None:
    one, other = bought(ledger).book, bought(ledger).book
    sent(signed_in, address("withdrawal", other), {"same_as": one or "", "reason": "entered twice"})
    event = last(ledger).event
    assert isinstance(event, Withdrawal)
    assert (last(ledger).book, event.same_as, event.entry) == (other, one, None)


def test_a_twin_is_chosen_among_the_other_copies_of_its_number(ledger: Ledger, signed_in: Browser) -> None:
    one, other = bought(ledger).book, bought(ledger).book
    choosing = read_page(signed_in.get(f"/entry/new?book={other}").text)
    (link,) = [each for each in choosing.all("a") if "kind=withdrawal" in each.attrs["href"]]
    assert link.attrs["href"] == f"/entry/new?kind=withdrawal&book={other}"
    page = read_page(signed_in.get(link.attrs["href"]).text)
    assert [each.attrs["value"] for each in page.all("input", name="same_as")] == [one]
    assert page.one("h1").text == "The same copy as another book"
    assert page.all("input", name="entry") == [], "an entry is withdrawn from its own page"
    assert sent(signed_in, address("withdrawal", other), {}).status_code == 422
    sent(signed_in, address("withdrawal", other), {"same_as": one or ""})
    again = read_page(signed_in.get(f"/entry/new?book={other}").text)
    assert not [each for each in again.all("a") if "kind=withdrawal" in each.attrs["href"]]


def test_a_book_without_another_copy_names_its_twin_by_id(ledger: Ledger, signed_in: Browser) -> None:
    page = read_page(signed_in.get(address("withdrawal", bought(ledger).book)).text)
    assert page.one("input", id="same_as").attrs["type"] == "text"
    assert "There is no other copy of this number here." in page.text


def test_an_erasure_deletes_what_was_ticked_and_nothing_else(ledger: Ledger, signed_in: Browser) -> None:
    values = next(values for kind, values in vectors() if kind == "erasure")
    entry = bought(ledger)
    answer = sent(
        signed_in, address("erasure", entry=entry.seq), {"names": values["names"], "reason": values["reason"]}
    )
    assert answer.status_code == 303, text_of(answer)
    event = last(ledger).event
    assert isinstance(event, Erasure)
    assert (event.entry, event.names, event.reason.value) == (entry.seq, tuple(values["names"]), values["reason"])
    with ledger.log.read() as reader:
        held = reader.entry(entry.seq).event.sealed_fields()
    assert {name for name, value in held.items() if value.state is SealState.ERASED} == {"seller", "venue"}


def test_an_erasure_offers_sealed_fields_and_says_which_are_empty(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    page = read_page(signed_in.get(address("erasure", entry=entry.seq)).text)
    offered = {each.one("input").attrs["value"]: each.text for each in page.all("label", class_="tick")}
    assert offered["seller"] == "Seller"
    assert offered["tax"] == "Tax, empty"
    assert "means" not in offered
    sent(signed_in, address("erasure", entry=entry.seq), {"names": ["seller"]})
    again = read_page(signed_in.get(address("erasure", entry=entry.seq)).text)
    assert "seller" not in {each.one("input").attrs["value"] for each in again.all("label", class_="tick")}


def test_an_erasure_of_nothing_is_refused(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    answer = sent(signed_in, address("erasure", entry=entry.seq), {"reason": "asked for by letter"})
    assert answer.status_code == 422
    assert at(read_page(answer.text), "names").attrs["type"] == "checkbox"
    assert "At least one is needed. Tick it." in text_of(answer)


def test_an_erasure_says_what_cannot_be_called_back_and_who_has_it(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    said = text_of(signed_in.get(address("erasure", entry=entry.seq)))
    assert "whatever others have received, still hold the value" in said
    assert "was shown in a record already" not in said
    record = Disclosure(statement="3f" * 32, previous_head=entry.leaf, opened=(Opened(entry=entry.seq, name="seller"),))
    (shown,) = written(ledger, record, book=entry.book)
    page = signed_in.get(address("erasure", entry=entry.seq))
    assert f"Something of this entry was shown in a record already: Entry {shown.seq}" in text_of(page)


def test_an_erasure_asks_for_the_password_again(home: Home, ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    form = opened(signed_in, address("erasure", entry=entry.seq))
    home.clock.time += timedelta(minutes=11)
    assert signed_in.get(address("erasure", entry=entry.seq)).headers["location"].startswith("/confirm")
    before = size(ledger)
    asked = signed_in.post(form.action, {**form.fields, "names": ["seller"]})
    assert asked.headers["location"].startswith("/confirm")
    assert size(ledger) == before


def test_drafts_in_the_browser_end_with_an_erasure(ledger: Ledger, signed_in: Browser) -> None:
    entry = bought(ledger)
    page = read_page(signed_in.get(address("erasure", entry=entry.seq)).text)
    assert "data-drafts-end" in at(page, "entry-form").attrs

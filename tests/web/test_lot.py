"""A lot: several books on one form, what each bears shown to the cent before it is written, nothing typed lost."""

from datetime import timedelta
from typing import Any

import pytest
from httpx2 import Response

from ledger.entry import Entry
from ledger.events._parts import Holding, OpinionOf
from ledger.events.purchase import Means, Purchase
from ledger.ports import Ledger
from tests.web.browser import PASSWORD, Browser, Form, Home, form_to, text_of
from tests.web.markup import read_page
from tests.web.typed import size

PATH = "/purchase/lot"
SAID = {"on": "3 Apr 2024", "price": "USD 100", "shipping": "USD 5", "seller": "A fair"}


def row(place: int, number: str = "", **more: str) -> dict[str, str]:
    said = {"issue.title": "Captain Lantern", "issue.number": number or str(place + 1), **more}
    return {f"books.{place}.{name}": value for name, value in said.items()}


def three(**more: str) -> dict[str, str]:
    return {**row(0), **row(1), **row(2), **SAID, **more}


def opened(browser: Browser) -> Form:
    return form_to(browser.get(PATH), PATH)


def show(browser: Browser, fields: dict[str, str]) -> Response:
    return browser.post(PATH, {**opened(browser).fields, **fields, "do": "parts"})


def write(browser: Browser, shown: Response, **changes: str) -> Response:
    return browser.post(PATH, {**form_to(shown, PATH).fields, **changes, "do": "write"})


def purchases(ledger: Ledger) -> list[Purchase]:
    return [entry.event for entry in written(ledger) if isinstance(entry.event, Purchase)]


def written(ledger: Ledger) -> list[Entry]:
    with ledger.log.read() as reader:
        entries = [reader.entry(seq) for seq in range(1, reader.head().size + 1)]
    return [entry for entry in entries if isinstance(entry.event, Purchase)]


def cells(answer: Response) -> list[list[str]]:
    table = read_page(answer.text).one("table")
    return [[cell.text for cell in line.all("td")] for line in table.all("tr")[1:]]


def test_the_purchase_page_leads_to_a_lot(signed_in: Browser) -> None:
    assert read_page(signed_in.get("/purchase").text).one("main").all("a", href=PATH)
    form = opened(signed_in).fields
    assert [name for name in form if name.endswith(".issue.title")] == [f"books.{n}.issue.title" for n in range(3)]


def test_the_parts_are_shown_to_the_cent_before_anything_is_written(ledger: Ledger, signed_in: Browser) -> None:
    """By hand, largest remainder: 100.00 in three is 33.34, 33.33, 33.33; 5.00 is 1.67, 1.67, 1.66."""
    before = size(ledger)
    answer = show(signed_in, three())
    assert answer.status_code == 200
    assert [[each.strip() for each in line] for line in cells(answer)] == [
        ["33.34 USD", "1.67 USD"],
        ["33.33 USD", "1.67 USD"],
        ["33.33 USD", "1.66 USD"],
        ["100.00 USD", "5.00 USD"],
    ]
    assert size(ledger) == before
    assert form_to(answer, PATH).fields["seller"] == "A fair"


def test_what_was_shown_is_written_as_one_act(ledger: Ledger, signed_in: Browser) -> None:
    answer = write(signed_in, show(signed_in, three()))
    assert answer.headers["location"] == "/ledger"
    assert [str(each.price.value) for each in purchases(ledger)] == ["33.34 USD", "33.33 USD", "33.33 USD"]
    assert [str(each.shipping.value) for each in purchases(ledger)] == ["1.67 USD", "1.67 USD", "1.66 USD"]
    assert len({entry.act for entry in written(ledger)}) == 1
    assert {(str(each.on), each.seller.value) for each in purchases(ledger)} == {("2024-04-03", "A fair")}
    assert "Written as entries" in text_of(signed_in.follow(answer))


def test_stated_shares_and_what_each_book_is_are_kept(ledger: Ledger, signed_in: Browser) -> None:
    """By hand: 100.00 by 3 and 1 is 75.00 and 25.00."""
    slabbed = {"holding": "slabbed", "holder_number": "A-77", "stated.as_written": "9.0"}
    books = {**row(0, share="3", **slabbed), **row(2, "7", share="1", **{"stated.as_written": "VF"})}
    write(signed_in, show(signed_in, {**SAID, **books, "means": "trade"}))
    first, second = purchases(ledger)
    assert (str(first.price.value), str(second.price.value)) == ("75.00 USD", "25.00 USD")
    assert (first.holding, first.holder_number, second.holding) == (Holding.SLABBED, "A-77", Holding.NOT_STATED)
    assert first.stated is not None
    assert second.stated is not None
    assert (first.stated.opinion_of, second.stated.opinion_of) == (OpinionOf.SERVICE, OpinionOf.SELLER)
    assert [step.text for step in second.stated.steps] == ["8.0"]
    assert first.means is second.means is Means.TRADE


def test_nothing_is_written_whose_parts_were_not_seen(ledger: Ledger, signed_in: Browser) -> None:
    unseen = signed_in.post(PATH, {**opened(signed_in).fields, **three(), "do": "write"})
    assert unseen.status_code == 200
    assert "has changed since" not in text_of(unseen)
    changed = write(signed_in, show(signed_in, three()), price="USD 90")
    assert "has changed since the parts were shown" in text_of(changed)
    assert cells(changed)[0][0].strip() == "30.00 USD"
    assert purchases(ledger) == []
    write(signed_in, changed)
    assert [str(each.price.value) for each in purchases(ledger)] == ["30.00 USD"] * 3


def test_each_error_stands_at_its_row_and_nothing_typed_is_lost(ledger: Ledger, signed_in: Browser) -> None:
    wrong = {**three(price="dear", on="soon"), "books.1.issue.number": "", "books.2.share": "half"}
    answer = show(signed_in, wrong)
    assert answer.status_code == 422
    page = read_page(answer.text)
    for name in ("price", "on", "books.1.issue.number", "books.2.share"):
        assert page.all("p", id=f"{name}-fault"), name
    kept = form_to(answer, PATH).fields
    assert (kept["price"], kept["books.2.share"], kept["books.1.issue.title"]) == ("dear", "half", "Captain Lantern")
    assert purchases(ledger) == []


@pytest.mark.parametrize(
    ("fields", "at"),
    [
        ({**SAID, **row(0)}, "books"),
        ({**SAID, **row(0, share="1"), **row(2)}, "books.2.share"),
        ({**SAID, **row(1, share="0"), **row(2, share="0")}, "books.1.share"),
        ({**SAID, **row(1), **row(2, holder_number="A-1")}, "books.2.holder_number"),
        ({**SAID, **row(1), **row(2), "means": "gift"}, "price"),
    ],
)
def test_what_the_ledger_refuses_is_told_where_it_was_typed(
    ledger: Ledger, signed_in: Browser, fields: dict[str, str], at: str
) -> None:
    answer = show(signed_in, fields)
    if answer.status_code == 200:
        answer = write(signed_in, answer)
    assert answer.status_code == 422
    assert f'href="#{at}"' in answer.text
    assert purchases(ledger) == []


def test_rows_are_added_without_a_script(signed_in: Browser) -> None:
    answer = signed_in.post(PATH, {**opened(signed_in).fields, **three(), "do": "add:books"})
    kept: dict[str, Any] = form_to(answer, PATH).fields
    assert kept["books.3.issue.title"] == ""
    assert kept["books.2.issue.number"] == "3"


def test_the_same_form_twice_writes_once(ledger: Ledger, signed_in: Browser) -> None:
    fields = {**form_to(show(signed_in, three()), PATH).fields, "do": "write"}
    first, again = signed_in.post(PATH, fields), signed_in.post(PATH, fields)
    assert first.headers["location"] == again.headers["location"] == "/ledger"
    assert len(purchases(ledger)) == 3


def test_a_field_that_the_form_does_not_have_is_refused(ledger: Ledger, signed_in: Browser) -> None:
    assert show(signed_in, {**three(), "strange": "x"}).status_code == 422
    assert purchases(ledger) == []


def test_without_a_sum_the_books_come_without_one(ledger: Ledger, signed_in: Browser) -> None:
    shown = show(signed_in, {**row(0), **row(1)})
    assert "No sum was entered" in text_of(shown)
    write(signed_in, shown)
    assert [each.price.value for each in purchases(ledger)] == [None, None]


def test_a_form_sent_after_the_session_ended_waits_and_shows_its_parts_again(
    home: Home, ledger: Ledger, signed_in: Browser
) -> None:
    shown = show(signed_in, three())
    home.clock.time += timedelta(days=100)
    asked = write(signed_in, shown)
    assert asked.headers["location"].startswith("/sign-in")
    form = form_to(signed_in.follow(asked), "/sign-in")
    back = signed_in.post("/sign-in", {**form.fields, "password": PASSWORD})
    returned = form_to(signed_in.follow(back), PATH)
    assert (returned.fields["seller"], returned.fields["books.2.issue.number"]) == ("A fair", "3")
    again = signed_in.post(PATH, {**returned.fields, "do": "parts"})
    assert purchases(ledger) == []
    assert write(signed_in, again).status_code == 303
    assert len(purchases(ledger)) == 3

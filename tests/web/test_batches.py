"""The pages of batches: books chosen and sent together, news, results in one form, each forecast beside its result."""

import pytest
from httpx2 import Response

from ledger.batches import Batch
from ledger.events.outlook import Outlook, OutlookStage, Weight
from ledger.events.slab import Outcome
from ledger.events.submission import Stage
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.usecases.batches import look_at_batch, look_at_batches
from ledger.when import When
from tests.builders import a_purchase, an_issue
from tests.fakes import FakeClock
from tests.usecases.forecast_books import back_then
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf

SENT = {"batch": "spring", "on": "1 April 2025", "service": "Third Bench", "fee": "100.00 USD", "postage": "10 USD"}
WEIGHTS = (Weight(grade=Grade("7.5"), per_mille=600), Weight(grade=Grade("8.0"), per_mille=400))


@pytest.fixture
def books(shelf: Shelf, clock: FakeClock) -> list[str]:
    """Three, the first with an outlook."""
    made = [shelf.takes(a_purchase("2024-02-01", issue=an_issue(number=str(number)))) for number in (1, 2, 3)]
    with back_then(clock, "2025-03-01"):
        shelf.then(made[0], Outlook(weights=WEIGHTS, stage=OutlookStage.BEFORE_SENDING))
    return made


def address(books: list[str]) -> str:
    return "/send?" + "&".join(f"book={book}" for book in books)


def send(browser: Browser, books: list[str], **changes: str) -> Response:
    fields = form_to(browser.get(address(books)), "/send").fields
    return browser.post("/send", {**fields, "book": books, **SENT, **changes})


def spring(ledger: Ledger) -> Batch:
    return look_at_batch(ledger, OWNER, "spring")


def row(place: int, **values: str) -> dict[str, str]:
    return {f"results.{place}.{name}": value for name, value in values.items()}


def write(browser: Browser, fields: dict[str, str]) -> Response:
    path = "/batches/spring/results"
    return browser.post(path, {**form_to(browser.get(path), path).fields, **fields})


def test_without_any_the_page_leads_to_the_books(signed_in: Browser) -> None:
    assert read_page(signed_in.get("/batches").text).one("main").all("a", href="/collection", class_="next")
    assert "No book is chosen." in text_of(signed_in.get("/send"))


def test_books_are_chosen_in_the_collection(signed_in: Browser, books: list[str]) -> None:
    assert read_page(signed_in.get("/collection").text).all("button", formaction="/send")
    assert "Captain Lantern 2" in text_of(signed_in.get(address(books)))
    assert signed_in.get(address(["nobody"])).status_code == 404


def test_they_are_sent_together_and_share_what_it_costs(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    """By hand: 100.00 by 2, 1, 1 is 50.00, 25.00, 25.00, and 10.00 by the same 5.00, 2.50, 2.50."""
    shares = {"books.0.share": "2", "books.1.share": "1", "books.2.share": "1", "books.0.insured_for": "900 USD"}
    page = text_of(signed_in.follow(send(signed_in, books, **shares)))
    told = [each.submission for each in spring(ledger).books]
    assert [str(each.fee.value) for each in told] == ["50.00 USD", "25.00 USD", "25.00 USD"]
    assert [str(each.postage.value) for each in told] == ["5.00 USD", "2.50 USD", "2.50 USD"]
    assert str(told[0].insured_for.value) == "900.00 USD"
    assert "Third Bench" in page
    assert "7.5 or better: 100 of 100" in page
    assert "spring" in text_of(signed_in.get("/batches"))


def test_what_is_wrong_stands_at_its_field_and_nothing_typed_is_lost(
    signed_in: Browser, ledger: Ledger, books: list[str]
) -> None:
    answer = send(signed_in, books, batch="Spring Batch!", **{"books.1.share": "half", "fee": "dear"})
    assert answer.status_code == 422
    page = read_page(answer.text)
    for name in ("batch", "books.1.share", "fee"):
        assert page.all("p", id=f"{name}-fault"), name
    assert form_to(answer, "/send").fields["service"] == "Third Bench"
    assert len(page.all("input", name="book")) == 3
    assert look_at_batches(ledger, OWNER) == ()
    assert signed_in.post("/send", {**SENT, "book": books, "asks": "grade", "strange": "x"}).status_code == 422


def test_a_share_that_is_missing_and_a_book_that_is_away_are_told_at_their_rows(
    signed_in: Browser, ledger: Ledger, books: list[str]
) -> None:
    answer = send(signed_in, books, **{"books.0.share": "1"})
    assert answer.status_code == 422
    assert read_page(answer.text).all("p", id="books.1.share-fault")
    send(signed_in, books[:1])
    answer = send(signed_in, books, batch="summer")
    assert answer.status_code == 409
    assert "is still open for this book" in read_page(answer.text).one("fieldset", id="books.0").text
    assert len(look_at_batches(ledger, OWNER)) == 1


def test_the_same_form_twice_sends_once(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    fields = {**form_to(signed_in.get(address(books)), "/send").fields, "book": books, **SENT}
    first, again = signed_in.post("/send", fields), signed_in.post("/send", fields)
    assert first.headers["location"] == again.headers["location"] == "/batches/spring"
    assert len(spring(ledger).books) == 3


def test_news_moves_the_batch_on(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    send(signed_in, books)
    path = "/batches/spring"
    fields = form_to(signed_in.get(path), f"{path}/news").fields
    page = text_of(signed_in.follow(signed_in.post(f"{path}/news", {**fields, "on": "5 April 2025"})))
    assert "Received there" in page
    assert spring(ledger).stage is Stage.RECEIVED
    fields = form_to(signed_in.get(path), f"{path}/news").fields
    again = signed_in.post(f"{path}/news", fields)
    assert again.status_code == 422
    assert "is received there already" in text_of(again)
    early = signed_in.post(f"{path}/news", {**fields, "stage": "shipped back", "on": "1 May 2001"})
    assert early.status_code == 409


def test_results_are_written_in_one_form_beside_their_forecasts(
    signed_in: Browser, ledger: Ledger, books: list[str]
) -> None:
    """By hand: the middle of 600 at 7.5 and 400 at 8.0 is 7.5; 8.5 is two steps above it."""
    send(signed_in, books)
    fields = {
        "on": "1 June 2025",
        "came_back": "5 June 2025",
        "invoice": "90.01 USD",
        **row(0, as_written="8.5", holder_number="N-1", page_tone="cream"),
        **row(1, as_written="VF/NM 9.0", fee="30 USD"),
        **row(2, outcome="no grade"),
    }
    page = text_of(signed_in.follow(write(signed_in, fields)))
    assert "2 steps better" in page
    assert "N-1" in page
    batch = spring(ledger)
    assert [str(each.grade) for each in batch.books] == ["8.5", "9.0", "None"]
    slabs = [each.slab for each in batch.books]
    assert [str(each.invoice.value) for each in slabs if each] == ["30.01 USD", "30.00 USD", "30.00 USD"]
    assert slabs[2] is not None
    assert slabs[2].outcome is Outcome.NO_GRADE
    assert not form_exists(signed_in.get("/batches/spring"), "/batches/spring/news")


def test_a_book_of_which_nothing_is_typed_stays_under_way(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    send(signed_in, books)
    write(signed_in, {"on": "1 June 2025", **row(1, as_written="9.0")})
    assert [each.book for each in spring(ledger).under_way] == [books[0], books[2]]
    nothing = write(signed_in, {"on": "1 June 2025"})
    assert nothing.status_code == 422
    assert "Nothing is written of any book." in text_of(nothing)


def test_what_is_wrong_with_a_result_stands_at_its_row_though_rows_before_are_empty(
    signed_in: Browser, ledger: Ledger, books: list[str]
) -> None:
    send(signed_in, books)
    answer = write(signed_in, {"on": "1 June 2025", **row(1, as_written="very good or so"), **row(2, page_tone="tan")})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert page.all("p", id="results.1.step-fault")
    assert page.all("p", id="results.2.as_written-fault")
    assert form_to(answer, "/batches/spring/results").fields["results.2.page_tone"] == "tan"
    early = write(signed_in, {"on": "1 June 2001", **row(2, as_written="9.0")})
    assert early.status_code == 409
    assert spring(ledger).is_open


def form_exists(answer: Response, action: str) -> bool:
    return bool(read_page(answer.text).all("form", action=action))


def test_the_forms_offer_today(signed_in: Browser, clock: FakeClock, books: list[str]) -> None:
    today = When.of_day(clock.today()).label()
    assert form_to(signed_in.get(address(books)), "/send").fields["on"] == today
    send(signed_in, books)
    assert form_to(signed_in.get("/batches/spring/results"), "/batches/spring/results").fields["came_back"] == today

"""A record is made as it was seen, or seen anew; and nothing that was ticked or typed is lost on the way."""

from datetime import timedelta
from html import unescape

import pytest
from httpx2 import Response

from ledger.ports import Ledger
from ledger.proof.forms import check_file
from ledger.sealed import Sealed
from ledger.usecases.hand_on import records_of
from tests.builders import an_examination
from tests.usecases.telling import Teller
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER
from tests.web.test_records import book as book  # noqa: PLC0414 - a fixture
from tests.web.test_records import hidden_in, made, ticked


def chosen_in(text: str) -> tuple[set[str], set[str], str]:
    """What is ticked and typed in the form in which a record is chosen."""
    page = read_page(text)
    fields, shots = (
        {str(each.attrs["value"]) for each in page.all("input", name=name) if "checked" in each.attrs}
        for name in ("open", "shot")
    )
    return fields, shots, str(page.all("input", name="recipient")[0].attrs.get("value", ""))


def after_the_password(browser: Browser, asked: Response) -> Response:
    """The page that was wanted, once the password that was asked for is given."""
    form = form_to(browser.follow(asked), "/confirm")
    return browser.follow(browser.post("/confirm", {**form.fields, "password": PASSWORD}))


def test_a_form_that_was_refused_comes_back_with_all_that_was_ticked_and_typed(signed_in: Browser, book: str) -> None:
    boxes = read_page(signed_in.get(f"/books/{book}/record").text).all("input", name="open")
    seller = next(str(each.attrs["value"]) for each in boxes if str(each.attrs["value"]).endswith(".seller"))
    shot = ticked(signed_in, book)["shot"][1]
    sent = {"sent": "yes", "open": [seller, "x.y", f"{'9' * 5000}.who"], "shot": [shot], "recipient": "A neighbour"}
    signed_in.get(f"/books/{book}/record")
    answer = signed_in.post(f"/books/{book}/record/seen", sent)
    assert answer.status_code == 422
    assert chosen_in(answer.text) == ({seller}, {shot}, "A neighbour")
    nothing = signed_in.post(f"/books/{book}/record/seen", {"sent": "yes", "shot": "x", "recipient": "Nobody"})
    assert nothing.status_code == 422
    assert chosen_in(nothing.text) == (set(), set(), "Nobody")
    made_so = signed_in.post(f"/books/{book}/record", {**sent, "key": "k", "seen": "1.x"})
    assert made_so.status_code == 422
    assert chosen_in(made_so.text) == ({seller}, {shot}, "A neighbour")


def test_days_that_were_refused_stand_in_the_form_as_they_were_typed(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    record = made(signed_in, ledger, book)
    answer = signed_in.post(f"/records/{record.sha256}/link", {"days": "a month"})
    assert answer.status_code == 422
    assert [each.attrs["value"] for each in read_page(answer.text).all("input", name="days")] == ["a month"]


def test_what_was_chosen_before_one_had_to_sign_in_is_chosen_afterwards(signed_in: Browser, book: str) -> None:
    shot = ticked(signed_in, book)["shot"][0]
    signed_in.forget()
    sent = {"sent": "yes", "key": "k", "shot": shot, "recipient": "A neighbour"}
    signed_in.page = f"/books/{book}/record"
    asked = signed_in.post(f"/books/{book}/record/seen", sent)
    signed_in.follow(asked)
    waiting = asked.headers["location"].partition("?")[2]
    answer = signed_in.post("/sign-in", {"password": PASSWORD, **dict([waiting.split("=")])})
    assert chosen_in(signed_in.follow(answer).text) == (set(), {shot}, "A neighbour")


def test_a_record_that_was_to_be_made_is_seen_again_after_the_password_and_then_made(
    home: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    seen = signed_in.post(f"/books/{book}/record/seen", {**ticked(signed_in, book), "recipient": ["A neighbour"]})
    home.clock.time += timedelta(minutes=11)
    asked = signed_in.post(f"/books/{book}/record", hidden_in(seen.text))
    again = after_the_password(signed_in, asked)
    assert "Nothing is made yet. What you chose stands as it was" in text_of(again)
    assert not records_of(ledger, OWNER, book)
    same = {name: hidden_in(seen.text)[name] for name in ("open", "shot", "recipient", "seen")}
    assert {name: hidden_in(again.text)[name] for name in same} == same
    assert signed_in.post(f"/books/{book}/record", hidden_in(again.text)).status_code == 303
    assert len(records_of(ledger, OWNER, book)) == 1


def test_after_the_password_what_has_changed_meanwhile_is_said(
    home: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    seen = signed_in.post(f"/books/{book}/record/seen", ticked(signed_in, book))
    home.clock.time += timedelta(minutes=11)
    asked = signed_in.post(f"/books/{book}/record", hidden_in(seen.text))
    Teller(ledger).add(book, an_examination("2025-06-01", remark=Sealed.of("smells of smoke")))
    again = after_the_password(signed_in, asked)
    assert "Nothing was made: since you saw it" in text_of(again)
    assert "stands as it was" not in text_of(again)


def test_a_record_that_would_not_be_the_one_that_was_seen_is_not_made_and_is_shown_anew(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    seen = signed_in.post(f"/books/{book}/record/seen", ticked(signed_in, book))
    Teller(ledger).add(book, an_examination("2025-06-01", remark=Sealed.of("smells of smoke")))
    with ledger.log.read() as reader:
        before = reader.head().size
    answer = signed_in.post(f"/books/{book}/record", hidden_in(seen.text))
    assert answer.status_code == 409
    assert "Nothing was made: since you saw it" in text_of(answer)
    assert "1 June 2025" in text_of(answer)
    with ledger.log.read() as reader:
        assert reader.head().size == before
    assert hidden_in(answer.text)["recipient"] == ["canary buyer"]
    again = signed_in.post(f"/books/{book}/record", hidden_in(answer.text))
    assert again.status_code == 303
    (record,) = records_of(ledger, OWNER, book)
    sheet = check_file(record.data, [ledger.signer.verifier]).file
    assert sheet is not None
    said = unescape(text_of(answer))
    assert [piece for piece in sheet.sheet.text() if " ".join(piece.split()) not in said] == []
    # The same form once more is the same sending, though the book has one entry more since then.
    assert signed_in.post(f"/books/{book}/record", hidden_in(answer.text)).status_code == 303
    assert len(records_of(ledger, OWNER, book)) == 1


def test_a_record_that_says_another_day_than_the_one_that_was_seen_is_shown_anew(
    home: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    seen = signed_in.post(f"/books/{book}/record/seen", ticked(signed_in, book))
    home.clock.time += timedelta(days=1)
    signed_in.sign_in()
    answer = signed_in.post(f"/books/{book}/record", hidden_in(seen.text))
    assert answer.status_code == 409
    assert records_of(ledger, OWNER, book) == []


@pytest.mark.parametrize("seen", ["", "x", "9" * 5000, "1.x"])
def test_a_preview_that_nobody_was_shown_makes_no_record(
    signed_in: Browser, ledger: Ledger, book: str, seen: str
) -> None:
    form = hidden_in(signed_in.post(f"/books/{book}/record/seen", ticked(signed_in, book)).text)
    assert signed_in.post(f"/books/{book}/record", {**form, "seen": [seen]}).status_code == 409
    assert records_of(ledger, OWNER, book) == []

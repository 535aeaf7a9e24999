"""A checkpoint that was kept elsewhere, brought back to the check: pasted or as a file, good or not."""

import pytest

from ledger.ports import Ledger
from ledger.proof.checkpoint import origin_of
from ledger.proof.signature import SigningKey
from ledger.usecases.checkpoint import sign_checkpoint
from tests.conftest import COLLECTION
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of
from tests.web.checks import SOON, buy, checked, lists, works_of
from tests.web.markup import read_page
from tests.web.stories import OWNER
from web.checking import NOTE_MOST


def a_note(ledger: Ledger) -> str:
    return sign_checkpoint(ledger, OWNER).note


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_a_checkpoint_that_was_pasted_shows_what_stood_here_already(
    signed_in: Browser, home: Home, ledger: Ledger, line_end: str
) -> None:
    buy(ledger)
    note = a_note(ledger)
    buy(ledger, 3)
    page = checked(signed_in, home, anchor="  \n" + note.strip().replace("\n", line_end))
    assert "Nothing was found." in text_of(page)
    assert "Held against a checkpoint kept elsewhere, over 2 entries." in text_of(page)
    told = lists(page)
    assert told["proven"][-1].startswith("The first 2 entries already stood here")
    assert "can say since when its 2 entries are there" in told["claimed"][1]
    assert told["beyond"][0] == "Entries that were written after your checkpoint and cut off again."


def test_a_checkpoint_comes_as_a_file_as_well(signed_in: Browser, home: Home, ledger: Ledger) -> None:
    note = a_note(ledger)
    answer = signed_in.upload("/check", {"anchor": ""}, {"file": ("kept.txt", b"\xef\xbb\xbf" + note.encode())})
    assert answer.status_code == 303
    assert works_of(home).wait(SOON)
    assert "Held against a checkpoint kept elsewhere, over one entry." in text_of(signed_in.follow(answer))


def test_a_checkpoint_over_entries_that_are_not_here_is_a_finding_that_took_it_to_see(
    signed_in: Browser, home: Home, ledger: Ledger
) -> None:
    with ledger.log.read() as reader:
        size = reader.head().size
    note = a_note(ledger)
    text = note.replace(f"\n{size}\n", f"\n{size + 4}\n", 1).rpartition("\n\n")[0] + "\n"
    page = checked(signed_in, home, anchor=ledger.signer.sign(text))
    assert "Seen only because a checkpoint kept elsewhere was at hand." in text_of(page)
    assert not any("already stood here" in each for each in lists(page)["proven"])


def test_what_another_key_signed_is_a_finding(signed_in: Browser, home: Home, ledger: Ledger) -> None:
    stranger = SigningKey.from_seed(origin_of(COLLECTION), b"\x09" * 32)
    note = stranger.sign(a_note(ledger).rpartition("\n\n")[0] + "\n")
    page = checked(signed_in, home, anchor=note)
    assert "What was signed: one finding" in text_of(page)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("hello", "This is no checkpoint: no empty line parts its text from its signatures."),
        ("x" * (NOTE_MOST + 1), f"This is longer than a checkpoint can be, which is {NOTE_MOST} characters."),
        ("other", "This is the checkpoint of another collection."),
    ],
)
def test_what_is_no_checkpoint_of_this_ledger_comes_back_and_nothing_begins(
    signed_in: Browser, home: Home, ledger: Ledger, typed: str, said: str
) -> None:
    if typed == "other":
        other = origin_of("a" * 26)
        text = a_note(ledger).rpartition("\n\n")[0].replace(origin_of(COLLECTION), other) + "\n"
        typed = SigningKey.from_seed(other, b"\x08" * 32).sign(text).strip()
    answer = signed_in.post("/check", {"anchor": typed})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert said in page.one("p", id="anchor-fault").text
    assert page.one("textarea", id="anchor").attrs["aria-invalid"] == "true"
    assert form_to(answer, "/check").fields["anchor"] == typed
    assert (works_of(home).running, works_of(home).last("check")) == (None, None)


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"hello"])
def test_a_file_that_is_no_checkpoint_is_refused_at_the_field(signed_in: Browser, data: bytes) -> None:
    answer = signed_in.upload("/check", {"anchor": ""}, {"file": ("kept.txt", data)})
    assert answer.status_code == 422
    assert "This is no checkpoint" in text_of(answer)


def test_a_text_and_a_file_at_once_are_one_too_many(signed_in: Browser, ledger: Ledger) -> None:
    note = a_note(ledger)
    answer = signed_in.upload("/check", {"anchor": note}, {"file": ("kept.txt", note.encode())})
    assert answer.status_code == 422
    assert "There is a text here and a file as well." in text_of(answer)


def test_a_checkpoint_that_was_pasted_after_the_session_ended_comes_back(home: Home, signed_in: Browser) -> None:
    signed_in.get("/check")
    home.browser().sign_in().post("/sign-out")
    asked = signed_in.follow(signed_in.post("/check", {"anchor": "kept in a drawer"}))
    back = signed_in.post("/sign-in", {**form_to(asked, "/sign-in").fields, "password": PASSWORD})
    page = signed_in.follow(back)
    assert form_to(page, "/check").fields["anchor"] == "kept in a drawer"

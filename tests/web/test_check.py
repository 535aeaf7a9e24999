"""The check of the whole ledger goes on by itself; a checkpoint is signed and taken beside it."""

from collections.abc import Iterator
from threading import Event
from typing import Any

import pytest

from ledger.errors import ConflictError
from ledger.ports import Ledger
from ledger.proof.report import Report
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.verify import verify_ledger
from tests.web.browser import Browser, Home, text_of
from tests.web.checks import SOON, buy, checked, works_of
from tests.web.markup import read_page
from tests.web.stories import OWNER
from web.pages import check
from web.render import PART


class Gate:
    """A verification that goes on only when it may."""

    def __init__(self) -> None:
        self.begun, self.may_end = Event(), Event()

    def __call__(self, ledger: Ledger, actor: Any, *, anchor: str | None, progress: Any) -> Report:
        """Three of four entries, then all of them."""
        progress(3, 4)
        self.begun.set()
        assert self.may_end.wait(SOON)
        return verify_ledger(ledger, actor, anchor=anchor, progress=progress)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    gate = Gate()
    monkeypatch.setattr(check, "verify_ledger", gate)
    yield gate
    gate.may_end.set()


def test_before_the_first_check_the_page_says_that_there_was_none(signed_in: Browser) -> None:
    page = signed_in.get("/check")
    assert "This ledger has not been checked since the program was started." in text_of(page)
    assert "not checked yet" in text_of(page)
    assert read_page(page.text).all("div", class_="three-lists") == []


def test_a_check_goes_on_while_the_page_is_left_and_its_result_stays(
    signed_in: Browser, home: Home, ledger: Ledger, gate: Gate
) -> None:
    buy(ledger, 3)
    assert signed_in.post("/check").headers["location"] == "/check"
    assert gate.begun.wait(SOON)
    page = signed_in.get("/check")
    assert "3 of 4 entries are read." in text_of(page)
    progress = read_page(page.text).one("progress")
    assert (progress.attrs["value"], progress.attrs["max"]) == ("3", "4")
    assert '<meta http-equiv="refresh" content="2">' in page.text
    assert 'action="/check"' not in page.text
    assert signed_in.get("/settings").status_code == 200
    gate.may_end.set()
    assert works_of(home).wait(SOON)
    page = signed_in.get("/check")
    assert "Nothing was found." in text_of(page)
    assert "http-equiv" not in page.text
    assert "whole at the last check" in text_of(signed_in.get("/settings")), "the foot of every page says so"


def test_a_script_gets_the_count_alone_and_nothing_once_the_check_has_ended(
    signed_in: Browser, home: Home, gate: Gate
) -> None:
    signed_in.post("/check")
    assert gate.begun.wait(SOON)
    part = signed_in.get("/check", **{PART: "progress"}).text
    assert part.strip().startswith('<div class="working" data-working>')
    assert "3 of 4 entries are read." in part
    gate.may_end.set()
    assert works_of(home).wait(SOON)
    assert signed_in.get("/check", **{PART: "progress"}).text.strip() == ""


def test_when_all_entries_are_read_the_page_says_what_comes_then(
    signed_in: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, may_end = Event(), Event()

    def verify(_ledger: Ledger, _actor: Any, *, anchor: str | None, progress: Any) -> Report:
        assert anchor is None
        progress(4, 4)
        begun.set()
        assert may_end.wait(SOON)
        return Report(checked={"entries": 4}, notes=["none"])

    monkeypatch.setattr(check, "verify_ledger", verify)
    signed_in.post("/check")
    assert begun.wait(SOON)
    said = text_of(signed_in.get("/check"))
    may_end.set()
    assert "All 4 entries are read. Now what lies beside them is held against them" in said


def test_a_second_check_begins_nothing(signed_in: Browser, gate: Gate) -> None:
    signed_in.post("/check")
    assert gate.begun.wait(SOON)
    page = signed_in.follow(signed_in.post("/check"))
    assert "A check is being done already." in text_of(page)


@pytest.mark.parametrize(
    ("failure", "said"),
    [
        (ConflictError(sentence="The store is closed."), "The store is closed."),
        (ZeroDivisionError("division by zero"), "The program itself failed while it was checking"),
    ],
)
def test_a_check_that_failed_says_why_and_leaves_the_foot_as_it_was(
    signed_in: Browser, home: Home, monkeypatch: pytest.MonkeyPatch, failure: Exception, said: str
) -> None:
    def verify(*_given: Any, **_named: Any) -> Report:
        raise failure

    monkeypatch.setattr(check, "verify_ledger", verify)
    page = checked(signed_in, home)
    assert "The last check did not come to its end." in text_of(page)
    assert said in text_of(page)
    assert "division" not in text_of(page)
    assert "not checked yet" in text_of(page)


def test_entries_written_since_are_told(signed_in: Browser, home: Home, ledger: Ledger) -> None:
    checked(signed_in, home)
    buy(ledger, 2)
    assert "2 more entries were written since then." in text_of(signed_in.get("/check"))


# --- the latest checkpoint ----------------------------------------------------------------------------------------------


def test_a_checkpoint_is_signed_on_demand_and_taken_as_a_file(signed_in: Browser, ledger: Ledger) -> None:
    assert signed_in.get("/check/checkpoint").status_code == 404
    assert "None was signed yet." in text_of(signed_in.get("/check"))
    buy(ledger, 2)
    answer = signed_in.post("/check/checkpoint")
    assert answer.headers["location"] == "/check#checkpoint"
    page = signed_in.get("/check")
    assert "A checkpoint over 3 entries is signed. Keep it outside the house." in text_of(page)
    signed = last_checkpoint(ledger, OWNER)
    assert signed is not None
    assert read_page(page.text).one("pre", id="note").children == [signed.note]
    file = signed_in.get("/check/checkpoint")
    assert file.content == signed.note.encode()
    assert file.headers["content-disposition"] == 'attachment; filename="checkpoint-3.txt"'
    assert file.headers["content-type"] == "text/plain; charset=utf-8"
    buy(ledger)
    assert "One entry was written since." in text_of(signed_in.get("/check"))


def test_with_nothing_written_since_the_last_checkpoint_stands(signed_in: Browser, ledger: Ledger) -> None:
    before = sign_checkpoint(ledger, OWNER)
    signed_in.post("/check/checkpoint")
    assert "Nothing was written since the last checkpoint, over one entry." in text_of(signed_in.get("/check"))
    with ledger.log.read() as reader:
        assert reader.checkpoints() == [before]


def test_the_verifier_key_is_there_for_a_reader(signed_in: Browser, ledger: Ledger) -> None:
    keys = [each.text for each in read_page(signed_in.get("/check").text).all("code")]
    assert ledger.signer.verifier.vkey in keys


def test_nobody_else_sees_or_begins_anything(visitor: Browser, home: Home) -> None:
    for answer in (visitor.get("/check"), visitor.get("/check/checkpoint"), visitor.post("/check")):
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/sign-in")
    assert (works_of(home).running, works_of(home).last("check")) == (None, None)

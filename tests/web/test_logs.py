"""Logs say which route answered how, and who came to a door; nothing that anybody typed stands in them."""

import json
import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import StoreError
from ledger.ports import Ledger
from ledger.usecases.doorbook import BOOK, Came, note
from tests.web.browser import PASSWORD, Browser, Home
from web.logs import DOORBOOK_FILE, LOG_FILE, write_logs

CANARY = "Wilhelmina-Canary-4711"


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """Logs written there while a test runs."""
    root, book = logging.getLogger(), logging.getLogger(BOOK)
    before = (root.handlers, root.level, book.handlers, book.propagate, book.level)
    write_logs(tmp_path / "log")
    yield tmp_path / "log"
    for handler in (*root.handlers, *book.handlers):
        handler.close()
    root.handlers, book.handlers, book.propagate = before[0], before[2], before[3]
    root.setLevel(before[1])
    book.setLevel(before[4])


def lines(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text("utf-8").splitlines()] if path.exists() else []


def came(folder: Path) -> list[str]:
    return [each["event"] for each in lines(folder / DOORBOOK_FILE)]


def test_a_request_is_noted_by_its_route_and_how_it_ended(folder: Path, signed_in: Browser) -> None:
    signed_in.get(f"/collection?q={CANARY}")
    signed_in.get(f"/books/{CANARY}")
    signed_in.get(f"/{CANARY}")
    told = [each for each in lines(folder / LOG_FILE) if each["event"] == "answered"]
    said = [(each["method"], each["route"], each["status"]) for each in told]
    assert said[-3:] == [("GET", "/collection", 200), ("GET", "/books/{book}", 404), ("GET", "(none)", 404)]
    assert all(each["ms"] > 0 and each["level"] == "info" and each["timestamp"].endswith("Z") for each in told)


@pytest.mark.usefixtures("signed_in")
def test_who_comes_to_the_door_is_noted(folder: Path, home: Home) -> None:
    home.browser().sign_in()
    visitor = home.browser()
    visitor.post("/sign-in", {"password": f"not {PASSWORD}"})
    visitor.post("/sign-in", {"password": "x"}, Origin="https://elsewhere.example", Sec_Fetch_Site="cross-site")
    visitor.get("/sign-in", Host="elsewhere.example")
    visitor.post(f"/sign-in/{CANARY}")
    assert came(folder)[-5:] == [
        Came.SIGNED_IN,
        Came.WRONG_PASSWORD,
        Came.OTHER_SITE,
        Came.OTHER_NAME,
        Came.LINK_REFUSED,
    ]
    told = lines(folder / DOORBOOK_FILE)[-5:]
    assert [each["level"] for each in told] == ["info", *["warning"] * 4]
    assert (told[0]["who"], bool(told[1]["address"])) == ("owner", True)


def test_nothing_that_was_typed_stands_in_any_log(folder: Path, signed_in: Browser, ledger: Ledger) -> None:
    form = {"issue.title": CANARY, "issue.number": "1", "on": CANARY, "price": CANARY, "seller": CANARY}
    signed_in.get("/purchase")
    assert signed_in.post("/purchase", form).status_code == 422
    assert signed_in.post("/purchase", {**form, "on": "3 April 2024", "price": "12 EUR"}).status_code == 303
    signed_in.get(f"/readings?kind=money&text={CANARY}")
    signed_in.post("/sign-in", {"password": CANARY})
    signed_in.post("/settings", {"currency": CANARY})
    api = signed_in.get("/api/v1/books", Authorization=f"Bearer {CANARY}")
    assert api.status_code == 401
    assert lines(folder / LOG_FILE)
    with ledger.log.read() as reader:
        assert reader.sealed(reader.head().size)
    for path in folder.iterdir():
        assert CANARY not in path.read_text("utf-8"), path.name


def test_of_an_error_its_kind_and_place_are_told_and_not_what_it_says(folder: Path) -> None:
    def rising() -> None:
        raise ValueError(f"this cannot be read: {CANARY}")

    try:
        try:
            rising()
        except ValueError as error:
            raise StoreError(problem="disk I/O error") from error
    except StoreError:
        logging.getLogger("anything").exception("failed on %s", CANARY)
    (told,) = lines(folder / LOG_FILE)
    assert told["event"] == "failed on %s"
    assert [each["kind"] for each in told["error"]] == ["ledger.errors.StoreError", "builtins.ValueError"]
    assert told["error"][0]["problem"] == "disk I/O error"
    assert told["error"][1]["at"][-1].endswith("rising")
    assert CANARY not in (folder / LOG_FILE).read_text("utf-8")


def test_the_door_book_stands_by_itself(folder: Path) -> None:
    note(Came.TOKEN_REFUSED, address="192.0.2.7")
    assert came(folder) == [Came.TOKEN_REFUSED]
    assert lines(folder / LOG_FILE) == []

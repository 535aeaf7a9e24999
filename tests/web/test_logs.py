"""Logs say which route answered how, and who came to a door; nothing that anybody typed stands in them."""

import json
import logging
import re
import signal
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import StoreError
from ledger.ports import Ledger
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.doorbook import BOOK, Came, note
from ledger.usecases.feed import make_feed
from tests.builders import a_purchase
from tests.web.browser import HOST, PASSWORD, Browser, Home
from tests.web.stories import OWNER, Shelf
from tests.web.test_serving import PATIENCE, ended, first_line, started
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


def handled(ledger: Ledger, browser: Browser) -> str:
    """The secret of an address at which a record is given."""
    book = Shelf(ledger).takes(a_purchase())
    sha256 = issue(ledger, OWNER, book, Wish()).sha256
    browser.get(f"/books/{book}/record")
    answer = browser.post(f"/records/{sha256}/link", {"days": "30"})
    (secret,) = re.findall(r"/handed/([\w-]{43})", answer.text)
    return str(secret)


SECRET = "Canary-secret-address-of-forty-three-letters"


def addresses(handed: str, calendar: str, pairing: str) -> list[str]:
    """Every kind of address that is a secret, right and wrong, leading on and failing."""
    found = [f"/handed/{handed}{more}" for more in ("", "/", "/compare", "/file", "/nothing", "/a/b", "/photographs/x")]
    found += [f"/calendar/{calendar}.ics", f"/calendar/{calendar}", pairing, f"{pairing}/"]
    return [*found, f"/handed/{SECRET}", f"/calendar/{SECRET}.ics", f"/join/{SECRET}", f"/sign-in/{SECRET}"]


def test_no_secret_of_an_address_stands_in_any_log_however_it_was_asked_for(
    folder: Path, home: Home, signed_in: Browser, ledger: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    handed, calendar = handled(ledger, signed_in), make_feed(ledger, OWNER, titles=False)
    pairing = home.app.state.pairing.offer("A phone")
    secrets = [SECRET, handed, calendar, pairing.rpartition("/")[2]]
    visitor = home.browser()
    for path in addresses(handed, calendar, pairing):
        visitor.get(path)
        visitor.client.head(path)
        visitor.client.get(path, headers={"Host": "elsewhere.example"})
        visitor.post(path)
        visitor.post(path, Origin="https://elsewhere.example", Sec_Fetch_Site="cross-site")
        visitor.client.request("DELETE", path)
        # A way back that has the secret in it, through a redirect.
        visitor.get("/collection", Referer=f"http://{HOST}{path}")

    def fails(*_: object) -> None:
        raise ValueError(f"failed at {handed} and {calendar}")

    monkeypatch.setattr("web.pages.handed.count_opening", fails)
    monkeypatch.setattr("web.pages.feed.calendar_at", fails)
    assert [visitor.get(f"/handed/{handed}").status_code, visitor.get(f"/calendar/{calendar}.ics").status_code] == [
        500
    ] * 2
    told = [(each["route"], each["status"]) for each in lines(folder / LOG_FILE) if each["event"] == "answered"]
    assert {("/handed/{secret}", 200), ("/handed/{secret}", 404), ("/handed/{secret}", 500)} <= set(told)
    assert {("/calendar/{secret}.ics", 200), ("/join/{secret}", 303)} <= set(told)
    assert {Came.RECORD_LINK_REFUSED, Came.CALENDAR_REFUSED} <= set(came(folder))
    for file in folder.iterdir():
        said = file.read_text("utf-8")
        assert [each for each in secrets if each in said] == [], file.name


@pytest.mark.long
def test_the_web_server_itself_writes_no_address_into_any_log(tmp_path: Path) -> None:
    """The program as it is started, with its log files and all that it prints; asked well, wrongly, and in no HTTP."""
    settings = ["--folder", str(tmp_path / "data"), "--keys", str(tmp_path / "keys"), "--port", "0", "--json"]
    with started("serve", *settings) as process:
        told = first_line(process)
        host, port = told["url"].removeprefix("http://").split(":")
        asked = [
            f"{method} {path} HTTP/1.1\r\nHost: {name}\r\nConnection: close\r\n\r\n"
            for path in (f"/handed/{SECRET}", f"/calendar/{SECRET}.ics", f"/join/{SECRET}", f"/handed/{SECRET}/held")
            for method in ("GET", "HEAD", "POST")
            for name in (f"{host}:{port}", "elsewhere.example")
        ]
        for text in [*asked, f"GET /handed/{SECRET} NO/9\r\n\r\n", f"/handed/{SECRET}\r\n\r\n"]:
            with socket.create_connection((host, int(port)), timeout=PATIENCE) as line:
                line.sendall(text.encode())
                assert line.recv(100).startswith(b"HTTP/1.1 ")
        _, out, err = ended(process, signal.SIGTERM)
    files = [path for path in (tmp_path / "data").rglob("*") if path.is_file()]
    assert any(path.name == LOG_FILE and path.stat().st_size for path in files)
    assert [path.name for path in files if SECRET.encode() in path.read_bytes()] == []
    assert SECRET not in out + err

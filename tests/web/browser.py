"""A browser without a script, as the pages meet it: cookies, the headers a browser sends, forms found in the page."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlsplit

from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response

from ledger.accounts import Accounts
from ledger.ports import Ledger
from ledger.usecases import sign_in
from tests.fakes import FakeClock
from tests.same_routes import sharing
from web.app import create_app
from web.door import Door

__all__ = ["COOKIE", "HOST", "PASSWORD", "Browser", "Form", "Home", "form_to", "forms_of", "is_in", "text_of"]

HOST = "localhost:8450"
COOKIE = "slipsheet_session_8450"
PASSWORD = "eleven tins of green peas"
Values = Mapping[str, str | Sequence[str]]


@dataclass
class Form:
    """One form of a page: where it goes, and what its fields hold."""

    method: str = "get"
    action: str = ""
    fields: dict[str, Any] = field(default_factory=dict)


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self._select = self._area = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(Form(method=given.get("method", "get"), action=given.get("action", "")))
        elif self.forms and tag == "input" and "name" in given:
            kind, fields = given.get("type", "text"), self.forms[-1].fields
            if kind == "checkbox":
                fields.setdefault(given["name"], [])
            if kind in {"checkbox", "radio"} and "checked" not in given:
                return
            if kind == "checkbox":
                fields[given["name"]].append(given.get("value", "on"))
            else:
                fields[given["name"]] = given.get("value", "")
        elif self.forms and tag in {"select", "textarea"}:
            self._select, self._area = (given["name"], "") if tag == "select" else ("", given["name"])
            self.forms[-1].fields[given["name"]] = ""
        elif tag == "option" and self._select and "selected" in given:
            self.forms[-1].fields[self._select] = given.get("value", "")

    def handle_endtag(self, tag: str) -> None:
        if tag in {"select", "textarea"}:
            self._select = self._area = ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.forms[-1].fields[self._area] += data


class Browser:
    """Sends what a browser would: its cookies, where it comes from, and which page it stands on."""

    def __init__(self, app: FastAPI, host: str = HOST, scheme: str = "http", address: str = "127.0.0.1") -> None:
        self._base = f"{scheme}://{host}"
        self.client = TestClient(
            app, base_url=self._base, follow_redirects=False, raise_server_exceptions=False, client=(address, 50000)
        )
        self.page = ""
        """Address of the page it shows."""

    @property
    def secret(self) -> str | None:
        """The secret of its session."""
        return self.client.cookies.get(self.cookie)

    @property
    def cookie(self) -> str:
        """What the cookie of its session is called: browsers do not tell cookies apart by port, so the name does."""
        address = urlsplit(self._base)
        return f"slipsheet_session_{address.port or {'http': 80, 'https': 443}[address.scheme]}"

    def get(self, path: str, **headers: str) -> Response:
        """The answer to a link; a page stays in sight."""
        got = self.client.get(path, headers={"Sec-Fetch-Site": "same-origin", **_named(headers)})
        self.page = path
        return got

    def follow(self, answer: Response) -> Response:
        """Where the answer leads."""
        assert answer.status_code == 303, (answer.status_code, answer.text)
        return self.get(answer.headers["location"])

    def post(self, path: str, fields: Values | None = None, **headers: str) -> Response:
        """A form of this page, sent."""
        return self.send("POST", path, fields, **headers)

    def send(self, method: str, path: str, fields: Values | None = None, **headers: str) -> Response:
        """The same by any method; a header given as empty is not sent."""
        came_from = {"Referer": self._base + self.page} if self.page else {}
        usual = {"Origin": self._base, "Sec-Fetch-Site": "same-origin", **came_from}
        sent = {name: value for name, value in {**usual, **_named(headers)}.items() if value}
        return self.client.request(method, path, data=dict(fields or {}), headers=sent)

    def upload(self, path: str, fields: Mapping[str, str], files: Mapping[str, tuple[str, bytes]]) -> Response:
        """A form with files."""
        headers = {"Origin": self._base, "Referer": self._base + self.page}
        return self.client.post(path, data=dict(fields), files=dict(files), headers=headers)

    def forget(self) -> None:
        """Its cookies are gone."""
        self.client.cookies.clear()

    def sign_in(self, password: str = PASSWORD) -> "Browser":
        """It came in by the password."""
        answer = self.post("/sign-in", {"password": password})
        assert answer.status_code == 303, answer.text
        return self


@dataclass
class Home:
    """The pages of one collection, with a clock that can be moved on."""

    app: FastAPI
    ledger: Ledger
    accounts: Accounts
    clock: FakeClock
    door: Door

    @classmethod
    def of(cls, ledger: Ledger, clock: FakeClock, **parts: Any) -> "Home":
        """Over a ledger that has accounts."""
        accounts = ledger.accounts
        assert accounts is not None
        door = parts.pop("door", None) or Door.first(accounts)
        hosts = ["localhost", "127.0.0.1", *parts.pop("hosts", ())]
        app = sharing(create_app(ledger, accounts, hosts=hosts, door=door, **parts))
        return cls(app, ledger, accounts, clock, door)

    def set_password(self, password: str = PASSWORD) -> None:
        """The owner has this password."""
        who = sign_in.signed_in(self.accounts, sign_in.enter(self.accounts))
        assert who is not None
        sign_in.change_password(self.accounts, who, current=password, new=password, avoid=())

    def browser(self, **parts: str) -> Browser:
        """A browser that nobody signed in with."""
        return Browser(self.app, **parts)


def is_in(browser: Browser) -> bool:
    """Settings are shown to somebody who is signed in, and to nobody else."""
    answer = browser.get("/settings")
    assert answer.status_code in {200, 303}
    return answer.status_code == 200


def forms_of(answer: Response) -> list[Form]:
    """Every form of a page, with what its fields hold."""
    reader = _Forms()
    reader.feed(answer.text)
    reader.close()
    return reader.forms


def form_to(answer: Response, action: str) -> Form:
    """The form of a page that goes to this path."""
    return next(form for form in forms_of(answer) if urlsplit(form.action).path == action)


def text_of(answer: Response) -> str:
    """What a page says, without its markup."""
    return " ".join(re.sub(r"<[^>]*>", " ", answer.text.partition("<body>")[2]).split())


def _named(headers: Mapping[str, str]) -> dict[str, str]:
    return {name.replace("_", "-"): value for name, value in headers.items()}

"""The API of one ledger as a program meets it: requests in, answers out, and how much is in the ledger."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from fastapi.testclient import TestClient
from httpx2 import Response

from api.app import create_api
from ledger.actor import Actor, Permission
from ledger.ports import Ledger
from ledger.usecases.tokens import DAYS_MOST, issue_token
from tests.same_routes import sharing

OWNER = Actor(id="owner")
HOST = "testserver"


@dataclass
class Door:
    """One client with one token; every append gets a key of its own unless one is given."""

    ledger: Ledger
    secret: str
    client: TestClient
    keys: list[str] = field(default_factory=list)

    def get(self, path: str, **headers: str) -> Response:
        """A read."""
        return self.client.get(path, headers=headers)

    def post(self, path: str, body: object, **headers: str) -> Response:
        """A post of JSON; text or bytes are sent as they are. An underscore in a header's name stands for a hyphen."""
        data = body if isinstance(body, str | bytes) else json.dumps(body)
        content = data if isinstance(data, bytes) else data.encode()
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        sent = {"Content-Type": "application/json", "Idempotency-Key": self.new_key(), **named}
        # An empty key or type is not sent at all; an empty token is, in place of the client's own.
        kept = {name: each for name, each in sent.items() if each or name == "Authorization"}
        return self.client.post(path, content=content, headers=kept)

    def new_key(self) -> str:
        """A key that no request has had."""
        self.keys.append(f'"{self.secret[-8:]} {len(self.keys)}"')
        return self.keys[-1]

    @property
    def size(self) -> int:
        """How many entries the ledger has."""
        with self.ledger.log.read() as reader:
            return reader.head().size

    def a_book(self, **changes: Any) -> str:
        """The id of a new book."""
        made = self.post("/books", purchase(**changes))
        assert made.status_code == 201, made.text
        book = made.json()["entries"][0]["book"]
        assert isinstance(book, str)
        return book

    def an_event(self, book: str, kind: str, **fields: Any) -> int:
        """The number of a new entry of the book, which was read before."""
        made = self.post(f"/books/{book}/events", {"kind": kind, **fields}, If_Match="*")
        assert made.status_code == 201, made.text
        seq = made.json()["entries"][0]["seq"]
        assert isinstance(seq, int)
        return seq

    def as_other(self, *permissions: Permission, days: int = 1) -> "Door":
        """The same ledger through another token."""
        return door_to(self.ledger, set(permissions), days=days)


def door_to(ledger: Ledger, permissions: set[Permission], *, days: int = DAYS_MOST) -> Door:
    """A door for a new token with these permissions."""
    _, secret = issue_token(ledger, OWNER, label="a test", permissions=permissions, days=days)
    app = sharing(create_api(ledger, hosts=[HOST]))
    client = TestClient(app, headers={"Authorization": f"Bearer {secret}"}, raise_server_exceptions=False)
    return Door(ledger, secret, client)


def purchase(**changes: Any) -> dict[str, Any]:
    """The body of a purchase, in the form people send it."""
    issue = {"title": "The Copper Lantern", "number": "14", "start_year": 1962}
    return {"kind": "purchase", "on": "2024-02-01", "issue": issue, "holding": "raw", **changes}


def problem(response: Response, status: int) -> Mapping[str, Any]:
    """The problem that an answer tells, after its shape was looked at."""
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert response.headers["cache-control"] == "no-store"
    told: Mapping[str, Any] = response.json()
    assert set(told) == {"type", "title", "status", "detail", "errors"}
    assert told["type"].startswith("urn:slipsheet:problem:")
    assert told["status"] == status
    assert told["title"]
    assert told["detail"]
    for each in told["errors"]:
        assert set(each) == {"field", "sentence", "rule", "entries"}
        assert each["sentence"]
    return told


def fields(told: Mapping[str, Any]) -> list[str]:
    """The fields that a problem names."""
    return [each["field"] for each in told["errors"]]

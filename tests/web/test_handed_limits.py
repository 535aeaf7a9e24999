"""What a stranger may send to a secret address: nothing to a wrong one, and to a right one no more than a record needs.

The limits are our own assumptions; their reasons stand beside them in `web/pages/handed.py` and `ledger/usecases/came_back.py`.
"""

import asyncio
import io
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pytest

from ledger.handing import KeptRecord
from ledger.usecases import came_back
from tests.web.browser import HOST, Browser, Home, text_of
from tests.web.markup import read_page
from tests.web.test_handed import WRONG
from tests.web.test_handed import address as address  # noqa: PLC0414 - a fixture
from tests.web.test_handed import book as book  # noqa: PLC0414 - a fixture
from tests.web.test_handed import reader as reader  # noqa: PLC0414 - a fixture
from tests.web.test_handed import record as record  # noqa: PLC0414 - a fixture
from tests.web.test_records import link_to
from web.pages import handed
from web.pages.handed import HELD_MOST


@dataclass
class Streamed:
    """A request whose body is read piece by piece, to see how much of it was asked for."""

    home: Home
    piece: bytes = bytes(1024 * 1024)
    taken: int = 0
    status: int = 0
    said: bytes = b""

    async def _receive(self) -> dict[str, Any]:
        self.taken += 1
        return {"type": "http.request", "body": self.piece, "more_body": True}

    async def _send(self, message: Mapping[str, Any]) -> None:
        self.status = message.get("status", self.status)
        self.said += message.get("body", b"")

    def post(self, path: str, *headers: tuple[str, str]) -> "Streamed":
        """The form's answer."""
        usual = (
            ("host", HOST),
            ("origin", f"http://{HOST}"),
            ("content-type", "multipart/form-data; boundary=x"),
            ("transfer-encoding", "chunked"),
        )
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": "POST",
            "scheme": "http",
            "path": path,
            "raw_path": path.encode(),
            "root_path": "",
            "query_string": b"",
            "headers": [(name.encode(), value.encode()) for name, value in {**dict(usual), **dict(headers)}.items()],
            "client": ("192.0.2.7", 50000),
            "server": ("localhost", 8450),
        }
        asyncio.run(self.home.app(scope, self._receive, self._send))
        return self


def test_of_what_is_sent_to_a_wrong_an_ended_or_an_expired_address_nothing_is_read(
    home: Home, signed_in: Browser, record: KeptRecord, address: str
) -> None:
    ended = link_to(signed_in, record)
    page = read_page(signed_in.get(f"/books/{record.book}/record").text)
    ends = [str(each.attrs["action"]) for each in page.all("form") if str(each.attrs.get("action")).endswith("/end")]
    assert len(ends) == 2
    assert signed_in.post(ends[-1]).status_code == 303
    home.clock.time = home.clock.time.replace(year=home.clock.time.year + 2)
    for path in (WRONG, ended, address):
        sent = Streamed(home).post(f"{path}/held")
        assert (sent.status, sent.taken) == (404, 0)


def test_what_is_said_to_be_too_large_is_refused_before_it_is_read_and_the_mend_is_told(
    home: Home, address: str
) -> None:
    sent = Streamed(home).post(f"{address}/held", ("content-length", str(HELD_MOST + 1)))
    assert (sent.status, sent.taken) == (413, 0)
    assert "This takes at most 32 MiB. Send the record without its photographs" in sent.said.decode()
    assert "/collection" not in sent.said.decode()


def test_what_does_not_say_how_large_it_is_is_read_up_to_the_limit_and_no_further(
    home: Home, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(handed, "HELD_MOST", 3 * 1024 * 1024)
    sent = Streamed(home).post(f"{address}/held")
    assert (sent.status, sent.taken) == (413, 4)


@pytest.mark.parametrize("length", ["9" * 5000, "9" * 19, "\u0661" * 4, "-1"])
def test_a_length_that_is_no_number_of_bytes_is_refused_without_being_counted(home: Home, length: str) -> None:
    """Python refuses to read numbers of more than 4300 digits (its documentation, integer string conversion length)."""
    sent = Streamed(home)
    scope_length = length.encode("utf-8").decode("latin-1")
    assert sent.post("/sign-in", ("content-length", scope_length)).status == 413
    assert sent.taken == 0


def held(reader: Browser, address: str, data: bytes) -> tuple[int, str]:
    reader.get(address)
    answer = reader.upload(f"{address}/held", {}, {"file": ("given", data)})
    return answer.status_code, text_of(answer)


def a_zip(record: bytes, **more: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {"record.json": record, **more}.items():
            archive.writestr(f"record/data/{name}", data)
    return out.getvalue()


def a_pdf(*attached: bytes) -> bytes:
    """As little of a PDF as has files attached. Source: ISO 32000-1 sections 7.3.8 and 7.11.4."""
    parts = [b"%PDF-1.7\n"]
    for number, data in enumerate(attached, 1):
        packed = zlib.compress(data, 9)
        head = b"%d 0 obj\n<</Length %d/Type/EmbeddedFile/Filter/FlateDecode>>\nstream\n" % (number, len(packed))
        parts.append(head + packed + b"\nendstream\nendobj\n")
    return b"".join(parts)


MOST = 1024 * 1024
LARGE = b'{"collection":[' + b" " * MOST + b"]}"
HOSTILE = {
    "zip": a_zip(LARGE),
    "page": b'<!doctype html><script type="application/octet-stream" id="record">' + b"QUJD" * MOST + b"</script>",
    "pdf": a_pdf(LARGE),
    "json": LARGE,
    "many values": b'{"collection":[' + b"[]," * 300_000 + b"[]]}",
    "deep": b"[" * 100_000,
    "digits in a record": b'{"collection":' + b"1" * 5000 + b"}",
    "digits in a checkpoint": b"x.slipsheet.invalid\n" + b"1" * 5000 + b"\nAAAA\nheads 1 AAAA\n",
    "a long text": b"x" * MOST,
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_what_is_made_to_be_large_is_refused_with_the_mend_and_never_fails(
    address: str, reader: Browser, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    monkeypatch.setattr(came_back, "RECORD_MOST", MOST)
    status, said = held(reader, address, HOSTILE[kind])
    assert status == 422
    assert "Choose the page, the zip, the sheet or the file that you hold." in said


def test_the_photographs_of_a_bag_are_not_unpacked_and_the_record_in_it_is_read(
    address: str, reader: Browser, record: KeptRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(came_back, "RECORD_MOST", MOST)
    status, said = held(reader, address, a_zip(record.data, **{"photographs/x.jpg": bytes(4 * MOST)}))
    assert status == 200
    assert "Nothing of what you hold was changed or left out" in said


def test_a_browser_that_says_nothing_of_where_the_form_comes_from_may_look(address: str, reader: Browser) -> None:
    """The page sends no referrer; over plain http a browser then sends `Origin: null`. Source: Fetch Standard."""
    answer = reader.client.post(f"{address}/held", files={"file": ("x", b"x")}, headers={"Origin": "null"})
    assert answer.status_code == 422

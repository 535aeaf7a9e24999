"""Photographs in pieces: whatever is cut goes on where it was cut, and what never comes to its end is no photograph."""

import hashlib
import os
import socket
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
import uvicorn

from ledger.actor import Actor
from ledger.arriving import PICTURE_MOST, PIECE_MOST
from ledger.keeping.backup import back_up
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.arrive import KEPT_FOR, sweep_partials
from ledger.usecases.daily import sign_if_due
from ledger.usecases.verify import verify_ledger
from tests.hostile import drawn, written
from tests.pictures import a_picture
from tests.web.browser import HOST, Browser, Home, form_to, text_of
from tests.web.entry_forms import PATH, RAW, address, at, opened
from tests.web.markup import read_page
from tests.web.typed import last, size
from tests.web.typed import written as recorded

DOOR = "/photographs/arriving"
HERE = {"Sec-Fetch-Site": "same-origin", "Content-Type": "application/octet-stream"}


def asked(browser: Browser, method: str, path: str, data: bytes = b"", **headers: str) -> Any:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return browser.client.request(method, path, content=data, headers={**HERE, **named})


def begun(browser: Browser, data: bytes, named: str = "front.png", sha256: str = "") -> Any:
    query = urlencode({"named": named, "size": len(data), "sha256": sha256})
    return asked(browser, "POST", f"{DOOR}?{query}").json()


def piece(browser: Browser, name: str, offset: int, data: bytes) -> Any:
    return asked(browser, "PATCH", f"{DOOR}/{name}", data, Upload_Offset=str(offset))


def on_the_way(ledger: Ledger) -> list[Path]:
    return sorted(ledger.pictures.partials.folder.glob("*"))  # type: ignore[attr-defined]


def test_a_file_comes_in_pieces_and_is_whole_only_at_its_end(ledger: Ledger, signed_in: Browser) -> None:
    data = a_picture()
    name = begun(signed_in, data)["id"]
    for start in range(0, len(data), 30):
        assert asked(signed_in, "GET", f"{DOOR}/{name}").json()["held"] == start
        refused = asked(signed_in, "POST", f"{DOOR}/{name}/whole")
        assert refused.status_code == 409
        assert ledger.pictures.stored() == []
        assert piece(signed_in, name, start, data[start : start + 30]).status_code == 200
    digest = hashlib.sha256(data).hexdigest()
    assert asked(signed_in, "POST", f"{DOOR}/{name}/whole?sha256={digest}").json() == {"here": digest, "told": ""}
    assert ledger.pictures.read(digest) == data
    assert on_the_way(ledger) == []


def test_a_piece_that_is_sent_twice_or_too_early_is_refused_with_how_much_is_here(signed_in: Browser) -> None:
    data = a_picture()
    name = begun(signed_in, data)["id"]
    assert piece(signed_in, name, 0, data[:20]).json()["held"] == 20
    for offset in (0, 19, 21, 200):
        refused = piece(signed_in, name, offset, data[:20])
        assert refused.status_code == 409
        assert refused.json()["told"].startswith("20 bytes of this file are here.")
    assert piece(signed_in, name, 20, data[20:] + b"x").status_code == 409
    assert piece(signed_in, name, 20, data[20:]).json()["held"] == len(data)


def test_a_file_that_is_chosen_again_goes_on_and_another_of_the_name_does_not(signed_in: Browser) -> None:
    data = a_picture()
    first = begun(signed_in, data)
    piece(signed_in, first["id"], 0, data[:20])
    assert begun(signed_in, data) == {"id": first["id"], "held": 20, "size": len(data)}
    assert begun(signed_in, data + b"x")["id"] != first["id"]
    assert begun(signed_in, data, "back.png")["held"] == 0


def test_another_session_finds_nothing_of_it(home: Home, signed_in: Browser) -> None:
    name = begun(signed_in, a_picture())["id"]
    other = home.browser().sign_in()
    assert asked(other, "GET", f"{DOOR}/{name}").status_code == 404
    assert piece(other, name, 0, b"x").status_code == 404
    assert begun(other, a_picture())["id"] != name


def test_what_came_otherwise_than_it_was_sent_is_deleted_and_said(ledger: Ledger, signed_in: Browser) -> None:
    data = a_picture()
    name = begun(signed_in, data)["id"]
    piece(signed_in, name, 0, data[:-1] + b"?")
    answer = asked(signed_in, "POST", f"{DOOR}/{name}/whole?sha256={hashlib.sha256(data).hexdigest()}")
    assert (answer.status_code, answer.json()["told"]) == (422, "What came is not what was sent. Choose it again.")
    assert on_the_way(ledger) == []
    assert ledger.pictures.stored() == []


def test_the_same_picture_twice_is_one_file_and_says_so(ledger: Ledger, signed_in: Browser) -> None:
    data = a_picture()
    ledger.pictures.keep(data)
    digest = hashlib.sha256(data).hexdigest()
    said = "The same picture was here already; it stays one file."
    assert begun(signed_in, data, sha256=digest) == {"here": digest, "told": said}
    name = begun(signed_in, data)["id"]
    piece(signed_in, name, 0, data)
    assert asked(signed_in, "POST", f"{DOOR}/{name}/whole").json() == {"here": digest, "told": said}


@pytest.mark.parametrize("length", [0, PICTURE_MOST + 1])
def test_a_size_that_no_photograph_has_is_refused_before_anything_comes(signed_in: Browser, length: int) -> None:
    answer = asked(signed_in, "POST", f"{DOOR}?{urlencode({'named': 'a', 'size': length})}")
    assert answer.status_code == 422
    assert str(PICTURE_MOST) in answer.json()["told"]


def test_a_piece_is_no_longer_than_a_piece_may_be_and_files_on_their_way_are_counted(signed_in: Browser) -> None:
    name = begun(signed_in, bytes(PICTURE_MOST))["id"]
    assert piece(signed_in, name, 0, bytes(PIECE_MOST + 1)).status_code == 413
    answers = [asked(signed_in, "POST", f"{DOOR}?named={number}&size=9") for number in range(70)]
    assert answers[-1].status_code == 409
    assert "Too many files are on their way" in answers[-1].json()["told"]
    assert sum(each.status_code == 201 for each in answers) == 63


def test_another_site_sends_no_piece(signed_in: Browser) -> None:
    name = begun(signed_in, a_picture())["id"]
    answer = asked(signed_in, "PATCH", f"{DOOR}/{name}", b"x", Upload_Offset="0", Sec_Fetch_Site="cross-site")
    assert answer.status_code == 403
    assert asked(signed_in, "GET", f"{DOOR}/{name}").json()["held"] == 0


def test_what_never_comes_to_its_end_leaves_nothing_after_a_day(ledger: Ledger, signed_in: Browser) -> None:
    old, young = begun(signed_in, a_picture(), "old"), begun(signed_in, a_picture(), "young")
    now = ledger.clock.now()
    for path in on_the_way(ledger):
        age = KEPT_FOR + timedelta(minutes=1) if path.name.endswith(old["id"]) else timedelta(hours=23)
        moment = (now - age).timestamp()
        os.utime(path, (moment, moment))
    assert sweep_partials(ledger) == 1
    assert [path.name.rpartition(".")[2] for path in on_the_way(ledger)] == [young["id"]]


def test_the_form_takes_digests_of_what_came_before_it(ledger: Ledger, signed_in: Browser) -> None:
    book = recorded(ledger, *RAW)[0].book or ""
    kept = ledger.pictures.keep(a_picture())
    form = opened(signed_in, address("photograph", book))
    answer = signed_in.upload(
        form.action, {**form.fields, "shots.0.kept": f"{kept.original} IMG 7.png"}, {"shots.1.file": ("", b"")}
    )
    assert answer.status_code == 303, text_of(answer)
    event: Any = last(ledger).event
    assert (event.original, event.clean, event.file_name.value) == (kept.original, kept.clean, "IMG 7.png")


def test_a_form_that_comes_back_still_has_what_came_before_it(ledger: Ledger, signed_in: Browser) -> None:
    book = recorded(ledger, *RAW)[0].book or ""
    kept = ledger.pictures.keep(a_picture())
    form = opened(signed_in, address("photograph", book))
    sent = {**form.fields, "on": "soon", "shots.0.kept": f"{kept.original} front.png"}
    back = signed_in.upload(form.action, sent, {"shots.1.file": ("", b"")})
    assert back.status_code == 422
    assert form_to(back, PATH).fields["shots.0.kept"] == [f"{kept.original} front.png"]
    assert "front.png is kept." in text_of(back)


@pytest.mark.parametrize("value", ["0" * 64 + " a.png", "nothing", "../../etc/passwd"])
def test_a_digest_of_nothing_is_told_at_its_row(ledger: Ledger, signed_in: Browser, value: str) -> None:
    book = recorded(ledger, *RAW)[0].book or ""
    before = size(ledger)
    form = opened(signed_in, address("photograph", book))
    answer = signed_in.upload(form.action, {**form.fields, "shots.1.kept": value}, {"shots.1.file": ("", b"")})
    assert answer.status_code == 422
    assert "not kept here any more" in at(read_page(answer.text), "shots.1.file-fault").text
    assert size(ledger) == before


@contextmanager
def listening(home: Home) -> Iterator[int]:
    """The pages on a real socket."""
    with closing(socket.socket()) as heard:
        heard.bind(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(home.app, log_config=None, lifespan="off"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [heard]})
        thread.start()
        while not server.started:
            thread.join(0.01)
        try:
            yield heard.getsockname()[1]
        finally:
            server.should_exit = True
            thread.join()


def cut(port: int, cookie: str, name: str, offset: int, data: bytes, come: int) -> None:
    """A piece whose connection is closed after so many of its bytes, the answer never read."""
    head = (
        f"PATCH {DOOR}/{name} HTTP/1.1\r\nHost: {HOST}\r\nCookie: {cookie}\r\nSec-Fetch-Site: same-origin\r\n"
        f"Content-Type: application/octet-stream\r\nUpload-Offset: {offset}\r\nContent-Length: {len(data)}\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", port), timeout=10) as line:
        line.sendall(head.encode() + data[:come])
        line.shutdown(socket.SHUT_WR)
        while line.recv(4096):
            pass


def test_a_connection_cut_anywhere_goes_on_to_the_same_file(ledger: Ledger, home: Home, signed_in: Browser) -> None:
    data = written(drawn((700, 500)), "PNG")
    name = begun(signed_in, data)["id"]
    ends = (0, 1, 4095, 65536, 65537, len(data) // 2, len(data) - 1)
    with listening(home) as port:
        for end in ends:
            held = asked(signed_in, "GET", f"{DOOR}/{name}").json()["held"]
            assert held <= end
            cut(port, f"{signed_in.cookie}={signed_in.secret}", name, held, data[held:], end - held)
            assert ledger.pictures.stored() == []
    held = asked(signed_in, "GET", f"{DOOR}/{name}").json()["held"]
    assert data.startswith(on_the_way(ledger)[0].read_bytes())
    assert piece(signed_in, name, held, data[held:]).json()["held"] == len(data)
    digest = asked(signed_in, "POST", f"{DOOR}/{name}/whole").json()["here"]
    assert digest == hashlib.sha256(data).hexdigest()
    assert ledger.pictures.read(digest) == data


def test_no_backup_and_no_check_looks_at_what_is_on_its_way(
    ledger: Ledger, signed_in: Browser, settings: Settings, tmp_path: Path
) -> None:
    name = begun(signed_in, a_picture())["id"]
    piece(signed_in, name, 0, a_picture()[:40])
    assert list(verify_ledger(ledger, Actor(id="owner")).findings) == []
    assert ledger.pictures.stored() == []
    sign_if_due(ledger)
    back_up(settings, tmp_path / "backups")
    assert list((tmp_path / "backups").rglob("*.sqlite3"))
    assert not [path for path in (tmp_path / "backups").rglob("*") if name in path.name]

"""serve --phone: a code in the terminal, only where a phone can find the server; and the warning that goes with it."""

import io
import json
import socket
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.phones import phones
from tests.scanning import drawn, scanned
from tests.usecases.telling import OWNER
from tests.web.browser import Browser
from web.app import create_app
from web.commands.phone import name_for
from web.commands.serving import serve
from web.pairing import Pairing
from web.serving import Listening, people_of

HALVES = {" ": (True, True), "\N{FULL BLOCK}": (False, False)} | {
    "\N{UPPER HALF BLOCK}": (False, True),
    "\N{LOWER HALF BLOCK}": (True, False),
}
"""In a terminal that writes light on dark, what is filled is light: the upper and the lower square, dark or not."""
HOST = "bench.example"
PLAIN = "Everybody in the home network can read along."
joined: list[str] = []
"""Names of the phones that came in while a server ran."""


def knock(ledger: Ledger, settings: Settings, listening: Listening, door: Any, *, pairing: Pairing, **_: Any) -> None:
    """Instead of serving: a phone presses the button that is behind the one code which is open."""
    app = create_app(ledger, people_of(ledger), hosts=settings.names, door=door, pairing=pairing)
    path = offered[-1]
    if path:
        phone = Browser(app, host=f"{HOST}:{listening.port}", address="192.0.2.30")
        assert phone.post(path).status_code == 303
        assert phone.get("/settings").status_code == 403
    joined[:] = [each.phone or "" for each in phones(people_of(ledger), OWNER)]


offered: list[str] = []


@pytest.fixture(autouse=True)
def _quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    """The socket hears this machine alone, whatever was asked for; nothing is served, and no log is written."""

    @contextmanager
    def listen(settings: Settings) -> Iterator[Listening]:
        with socket.socket() as bound:
            bound.bind(("127.0.0.1", 0))
            port = bound.getsockname()[1]
            yield Listening(url=f"http://{settings.host}:{port}", port=port, socket=bound)

    def offer(self: Pairing, name: str) -> str:
        offered.append(plain(self, name))
        return offered[-1]

    plain = Pairing.offer
    offered[:], joined[:] = [""], []
    monkeypatch.setattr(Pairing, "offer", offer)
    monkeypatch.setattr("web.serving.listen", listen)
    monkeypatch.setattr("web.serving.run", knock)
    monkeypatch.setattr("web.logs.write_logs", lambda _: None)
    monkeypatch.setenv("SLIPSHEET_HOSTS", HOST)


def code_in(out: str) -> str:
    """What a camera reads from the terminal."""
    dark: list[list[bool]] = []
    for line in out.splitlines():
        if line and set(line) <= set(HALVES):
            upper, lower = zip(*(HALVES[each] for each in line), strict=True)
            dark += [list(upper), list(lower)]
    side = len(dark[0])
    return scanned(drawn([row[:side] for row in dark[:side]]))


def test_the_code_in_the_terminal_lets_in_one_phone_of_that_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    serve(tmp_path / "data", tmp_path / "keys", host="192.0.2.7", phone=" Grey  phone ")
    told = capsys.readouterr()
    address = code_in(told.out)
    assert urlsplit(address).path == offered[-1] != ""
    assert urlsplit(address).hostname == HOST
    assert f"Scan this with Grey phone within 5 minutes, or type the address there: {address}" in told.out
    assert PLAIN in told.err
    assert joined == ["Grey phone"]


def test_a_script_finds_the_address_in_the_line_of_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    serve(tmp_path / "data", tmp_path / "keys", host="0.0.0.0", phone="Grey phone", as_json=True)
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"url", "sign_in", "phone"}
    assert told["phone"] == f"http://{HOST}:{urlsplit(told['url']).port}{offered[-1]}"
    assert joined == ["Grey phone"]


def test_whoever_listens_to_a_network_is_told_who_reads_along(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    serve(tmp_path / "data", tmp_path / "keys", host="192.0.2.7")
    told = capsys.readouterr()
    assert PLAIN in told.err
    assert "Scan this" not in told.out
    serve(tmp_path / "data", tmp_path / "keys", host="127.0.0.1")
    assert capsys.readouterr().err == "Stopped.\n"
    assert joined == []


@pytest.mark.parametrize(("host", "hosts"), [("127.0.0.1", HOST), ("localhost", ""), ("::1", ""), ("0.0.0.0", "")])
def test_where_no_phone_could_find_it_nothing_is_started_and_the_mend_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, host: str, hosts: str
) -> None:
    monkeypatch.setenv("SLIPSHEET_HOSTS", hosts)
    with pytest.raises(ValueError, match=r"listen on with --host, and the names it is found by in SLIPSHEET_HOSTS"):
        serve(tmp_path / "data", tmp_path / "keys", host=host, phone="Grey phone")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["", " ", "x" * 41])
def test_a_name_that_is_none_is_wrong_usage(name: str) -> None:
    with pytest.raises(ValueError, match="1 to 40 characters"):
        name_for(Settings(host="192.0.2.7"), name)
    assert name_for(Settings(host="192.0.2.7"), None) == ""


def test_a_terminal_without_those_signs_gets_the_address_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(written, encoding="ascii"))
    serve(tmp_path / "data", tmp_path / "keys", host="192.0.2.7", phone="Grey phone")
    out = written.getvalue().decode("ascii")
    assert f"http://{HOST}:" in out

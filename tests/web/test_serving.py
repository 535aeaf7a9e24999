"""The command as a process of its own: one line for scripts, an answer on its port, a good end."""

import json
import os
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

import pytest

from ledger.bootstrap import open_ledger
from ledger.settings import Settings

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 180
"""Seconds; a machine under load starts slowly."""


@contextmanager
def started(*arguments: str) -> Iterator["subprocess.Popen[str]"]:
    """The command in a process of its own, which is ended with the test however that ends."""
    command = [sys.executable, "-W", "error::ResourceWarning", "-m", "web.cli", *arguments]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        yield process
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate(timeout=PATIENCE)


def first_line(process: "subprocess.Popen[str]") -> dict[str, Any]:
    out: IO[str] | None = process.stdout
    assert out is not None
    line = out.readline()
    assert line, process.communicate(timeout=PATIENCE)
    told: dict[str, Any] = json.loads(line)
    return told


def answer(url: str, token: str | None = None) -> tuple[int, Any]:
    assert url.startswith("http://127.0.0.1:")
    request = urllib.request.Request(url, headers={"Authorization": f"Bearer {token}"} if token else {})
    with urllib.request.urlopen(request, timeout=PATIENCE) as response:
        return response.status, json.loads(response.read())


def ended(process: "subprocess.Popen[str]", by: signal.Signals) -> tuple[int, str, str]:
    process.send_signal(by)
    out, err = process.communicate(timeout=PATIENCE)
    return process.returncode, out, err


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="there is no such signal to send to one process there")
@pytest.mark.parametrize("by", [signal.SIGINT, signal.SIGTERM])
def test_serve_says_where_it_is_answers_and_ends_well(tmp_path: Path, by: signal.Signals) -> None:
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    asked = ["--folder", settings.folder, "--keys", settings.keys, "--port", "0", "--json"]
    with started("serve", *asked) as process:
        told = first_line(process)
        assert set(told) == {"url", "sign_in"}
        assert told["sign_in"].startswith(told["url"] + "/sign-in/")
        assert answer(told["url"] + "/api/v1/health") == (200, {"status": "ok"})
        with pytest.raises(urllib.error.HTTPError) as refused:
            answer(told["url"] + "/api/v1/books")
        with refused.value:
            assert refused.value.code == 401
        assert ended(process, by) == (0, "", "Stopped.\n")
    with open_ledger(settings, make=False) as ledger, ledger.log.read() as reader:
        assert reader.head().size == 1


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="there is no such signal to send to one process there")
def test_a_second_server_on_the_same_port_or_folder_is_told_so(tmp_path: Path) -> None:
    def asked(name: str, port: str) -> list[str]:
        return ["serve", "--folder", str(tmp_path / name), "--keys", str(tmp_path / "keys"), "--port", port, "--json"]

    with started(*asked("first", "0")) as first:
        port = first_line(first)["url"].rpartition(":")[2]
        with started(*asked("second", port)) as second:
            out, err = second.communicate(timeout=PATIENCE)
            assert (second.returncode, out) == (2, "")
            assert err.startswith(f"slipsheet: cannot listen on 127.0.0.1 port {port}: ")
            assert err.endswith("Name another --port\n")
        with started(*asked("first", "0")) as third:
            out, err = third.communicate(timeout=PATIENCE)
            assert (third.returncode, out) == (1, "")
            assert f"is in use by process {first.pid}." in err
        assert ended(first, signal.SIGINT)[0] == 0


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="there is no such signal to send to one process there")
def test_the_demo_lets_a_script_in_and_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    with started("demo", "--json") as process:
        told = first_line(process)
        assert set(told) == {"url", "token", "sign_in"}
        assert told["sign_in"].startswith(told["url"] + "/sign-in/")
        status, page = answer(told["url"] + "/api/v1/books?limit=1", told["token"])
        assert status == 200
        assert page
        assert [path.name for path in tmp_path.iterdir()] != []
        assert ended(process, signal.SIGTERM) == (0, "", "Stopped.\n")
    assert list(tmp_path.iterdir()) == []


DROPPED = """
import signal
import web.serving
from web.cli import main

serves = web.serving.run

def run(*parts, **more):
    try:
        signal.raise_signal(signal.{name})
    except KeyboardInterrupt:
        pass
    serves(*parts, **more)

web.serving.run = run
main()
"""
"""The program; an interrupt is dropped just before it hears of signals itself, as Python does while it tidies up."""


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_an_interrupt_that_is_dropped_on_its_way_ends_it_all_the_same(tmp_path: Path, name: str) -> None:
    asked = ["serve", "--folder", str(tmp_path / "data"), "--keys", str(tmp_path / "keys"), "--port", "0", "--json"]
    command = [sys.executable, "-c", DROPPED.format(name=name), *asked]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE, check=False)
    assert (done.returncode, done.stderr) == (0, "Stopped.\n")

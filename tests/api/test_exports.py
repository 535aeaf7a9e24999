"""The whole collection over HTTP: begun, looked at, fetched as a file that comes in again, and taken away."""

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from ledger.actor import Permission
from ledger.adapters.makings import FileMakings
from ledger.bootstrap import OWNER, open_ledger
from ledger.exports import Export
from ledger.keeping.bring_in import bring_in
from ledger.makings import KEPT_FOR, State
from ledger.settings import Settings
from ledger.usecases.checkpoint import current
from ledger.usecases.exports import EXPORTS
from tests.api.door import Door, door_to, fields, problem
from tests.fakes import FakeClock
from tests.pictures import a_picture

PASSPHRASE = "thirteen walnut shelves"


@pytest.fixture
def real(tmp_path: Path) -> Iterator[Door]:
    """The service over a ledger as the program opens it."""
    with open_ledger(Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys")), clock=FakeClock()) as ledger:
        yield door_to(ledger, set(Permission))


def ready(door: Door, **body: str) -> str:
    """Where the archive is, once it is ready."""
    begun = door.post("/exports", body)
    assert begun.status_code == 202, begun.text
    assert begun.json()["state"] in {"under way", "ready"}
    exports = door.ledger.exports
    assert isinstance(exports, FileMakings)
    exports.wait(20)
    where: str = begun.headers["location"]
    assert door.client.get(where).json()["state"] == "ready"
    return where


def test_what_is_fetched_comes_in_again_with_the_same_root(real: Door, tmp_path: Path) -> None:
    real.a_book(seller="A shop")
    real.post("/photographs", a_picture(), Content_Type="image/png")
    where = ready(real)
    told = real.client.get(where).json()
    assert told["photographs"] == 2
    assert told["missing"] == []
    assert told["done"] == told["expected"] > 0
    fetched = real.client.get(f"{where}/file")
    assert fetched.headers["content-type"] == "application/zip"
    assert "attachment" in fetched.headers["content-disposition"]
    assert len(fetched.content) == told["bytes"]
    (tmp_path / "all.zip").write_bytes(fetched.content)
    place = Settings(folder=str(tmp_path / "back"), keys=str(tmp_path / "keys"))
    done = bring_in(tmp_path / "all.zip", place)
    assert done.report.findings == []
    with real.ledger.log.read() as reader:
        assert done.looked.head.state == current(reader)
        assert told["entries"] == done.looked.head.state.size


def test_the_key_is_in_it_only_with_a_passphrase(real: Door) -> None:
    for body, has in (({}, False), ({"passphrase": PASSPHRASE}, True)):
        where = ready(real, **body)
        with zipfile.ZipFile(io.BytesIO(real.client.get(f"{where}/file").content)) as archive:
            assert ("slipsheet-archive/data/keys.json" in archive.namelist()) is has


def test_a_passphrase_that_is_too_short_is_refused_with_its_field(real: Door) -> None:
    assert fields(problem(real.post("/exports", {"passphrase": "short"}), 422)) == ["passphrase"]
    assert real.get("/exports").json() == {"exports": []}


def test_one_is_taken_away_and_is_then_not_there(real: Door) -> None:
    where = ready(real)
    assert len(real.get("/exports").json()["exports"]) == 1
    assert real.client.delete(where).status_code == 204
    problem(real.client.get(where), 404)
    problem(real.client.get(f"{where}/file"), 404)
    problem(real.client.delete(where), 404)


def test_one_that_is_under_way_is_called_off_and_leaves_no_file(real: Door) -> None:
    begun, may_go_on = Event(), Event()

    def work(_file: Any, progress: Any) -> Any:
        begun.set()
        assert may_go_on.wait(20)
        progress(1, 2)
        raise AssertionError("it went on")

    exports = real.ledger.exports
    assert isinstance(exports, FileMakings)
    assert exports.begin(Export(id="held", begun=real.ledger.clock.now(), keys=False), work)
    assert begun.wait(20)
    assert real.client.delete("/exports/held").status_code == 204
    problem(real.client.get("/exports/held"), 404)
    may_go_on.set()
    exports.wait(20)
    assert real.get("/exports").json() == {"exports": []}
    assert list(exports._folder.iterdir()) == []


def test_of_more_than_two_the_oldest_goes(real: Door) -> None:
    places = [ready(real) for _ in range(3)]
    assert [real.client.get(each).status_code for each in places] == [404, 200, 200]


def test_after_a_day_it_is_gone(real: Door) -> None:
    where = ready(real)
    exports, clock = real.ledger.exports, real.ledger.clock
    assert isinstance(exports, FileMakings)
    assert isinstance(clock, FakeClock)
    exports.sweep()
    assert real.client.get(where).status_code == 200
    clock.time += KEPT_FOR
    exports.sweep()
    assert EXPORTS.all(real.ledger, OWNER) == []
    assert list(exports._folder.iterdir()) == []


def test_nothing_outlasts_the_program(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    (folder / "exports").mkdir(parents=True)
    (folder / "exports" / "left.zip").write_bytes(b"from a program that was cut off")
    settings = Settings(folder=str(folder), keys=str(tmp_path / "keys"))
    with open_ledger(settings) as ledger:
        ready(door_to(ledger, set(Permission)))
        (found,) = (folder / "exports").iterdir()
        assert found.name != "left.zip"
        assert found.stat().st_mode & 0o077 == 0
    assert not (folder / "exports").exists()


def test_one_that_fails_says_why_and_leaves_no_file(real: Door) -> None:
    real.a_book()
    exports = real.ledger.exports
    assert isinstance(exports, FileMakings)
    exports._folder.mkdir(parents=True)
    exports._cleared = True
    exports._folder.rmdir()
    begun = real.post("/exports", {}).json()["id"]
    exports.wait(20)
    (found,) = exports.all()
    assert (found.id, found.state) == (begun, State.FAILED)
    assert real.get(f"/exports/{begun}").json()["failure"].startswith("The archive could not be written: ")
    problem(real.get(f"/exports/{begun}/file"), 404)

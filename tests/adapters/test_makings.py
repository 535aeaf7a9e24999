"""Files that are made for who asks lie there no longer than they may, whoever reads or left them."""

import os
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from ledger.adapters.makings import FileMakings
from ledger.errors import NotFoundError
from ledger.exports import Export
from ledger.makings import KEPT_FOR, State
from tests.fakes import FakeClock

SOON = 20.0


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[FileMakings[Any, Any]]:
    makings: FileMakings[Any, Any] = FileMakings(tmp_path / "exports", FakeClock(), "archive")
    yield makings
    makings.stop()


def made(kept: FileMakings[Any, Any], own: str) -> str:
    def work(file: Any, _progress: Any) -> None:
        file.write(b"all of it in the clear")

    assert kept.begin(Export(id=own, begun=kept._clock.now(), keys=False), work)
    kept.wait(SOON)
    return own


def left_behind(kept: FileMakings[Any, Any], made_at: datetime) -> Path:
    kept._folder.mkdir(parents=True, exist_ok=True)
    path = kept._folder / "left"
    path.write_bytes(b"from a program that was cut off")
    os.utime(path, (made_at.timestamp(),) * 2)
    return path


@pytest.fixture
def holding(monkeypatch: pytest.MonkeyPatch) -> None:
    """A system that keeps a file which is being read."""

    def refused(_path: Path, *, missing_ok: bool = False) -> None:
        raise PermissionError(f"the file is in use {missing_ok}")

    monkeypatch.setattr(Path, "unlink", refused)


def test_what_an_earlier_program_left_goes_once_it_lay_there_long_enough(kept: FileMakings[Any, Any]) -> None:
    path = left_behind(kept, kept._clock.now())
    kept.sweep()
    assert path.exists()

    os.utime(path, ((kept._clock.now() - KEPT_FOR).timestamp(),) * 2)
    kept.sweep()

    assert not path.exists()


def test_with_all_that_is_there_goes_what_an_earlier_program_left(kept: FileMakings[Any, Any]) -> None:
    made(kept, "one")
    path = left_behind(kept, datetime(2026, 3, 1, tzinfo=UTC))

    assert kept.empty() == 1

    assert not path.exists()
    assert list(kept._folder.iterdir()) == []
    assert kept.all() == []


@pytest.mark.usefixtures("holding")
def test_a_file_that_the_system_will_not_let_go_is_emptied(kept: FileMakings[Any, Any]) -> None:
    own = made(kept, "one")
    pieces = kept.pieces(own)

    assert kept.empty() == 1

    assert b"".join(pieces) == b""
    with pytest.raises(NotFoundError):
        kept.named(own)


@pytest.mark.usefixtures("holding")
def test_a_file_that_the_system_will_not_let_go_does_not_keep_the_next_from_being_made(
    kept: FileMakings[Any, Any],
) -> None:
    for own in ("one", "two", "three"):
        made(kept, own)

    assert [(each.id, each.state) for each in kept.all()] == [("three", State.READY), ("two", State.READY)]


def test_a_file_that_is_gone_already_is_not_found(kept: FileMakings[Any, Any]) -> None:
    own = made(kept, "one")
    (kept._folder / own).unlink()

    with pytest.raises(NotFoundError):
        kept.pieces(own)

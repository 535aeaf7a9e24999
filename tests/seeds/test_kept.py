"""The kept telling: whole or absent, used once it is there, made anew when a source changes."""

import sys
from pathlib import Path

import pytest

from seeds import kept


class Telling:
    """Counts how often the story was told, and where."""

    def __init__(self, *, fails: bool = False) -> None:
        self.told: list[Path] = []
        self.fails = fails

    def __call__(self, folder: Path) -> None:
        folder.mkdir(exist_ok=True)
        self.told.append(folder)
        (folder / "story").write_text("once upon a time")
        if self.fails:
            raise RuntimeError("interrupted")


@pytest.fixture(autouse=True)
def environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An environment of the test's own."""
    own = tmp_path / "environment"
    own.mkdir()
    monkeypatch.setattr(sys, "prefix", str(own))
    return own


def test_the_story_is_told_once_and_then_copied(tmp_path: Path) -> None:
    tell = Telling()
    for name in ("first", "second"):
        kept.lay(tmp_path / name, tell)
        assert (tmp_path / name / "story").read_text() == "once upon a time"
    assert len(tell.told) == 1


def test_a_telling_that_was_interrupted_leaves_nothing_behind(tmp_path: Path, environment: Path) -> None:
    with pytest.raises(RuntimeError):
        kept.lay(tmp_path / "first", Telling(fails=True))
    assert list((environment / kept.TOLD).iterdir()) == []
    tell = Telling()
    kept.lay(tmp_path / "second", tell)
    assert len(tell.told) == 1


def test_another_source_is_told_anew_and_the_old_telling_goes(
    tmp_path: Path, environment: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tell = Telling()
    kept.lay(tmp_path / "first", tell)
    monkeypatch.setattr(kept, "SOURCES", ("README.md",))
    kept.lay(tmp_path / "second", tell)
    assert len(tell.told) == 2
    assert len(list((environment / kept.TOLD).iterdir())) == 1


def test_where_nothing_can_be_kept_the_story_is_told_into_the_folder_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "prefix", sys.base_prefix)
    tell = Telling()
    kept.lay(tmp_path / "first", tell)
    assert tell.told == [tmp_path / "first"]

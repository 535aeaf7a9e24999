"""The anchor's file: what is read is what was written last, and of two who write at once one is told to look again."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

from ledger.adapters.anchors import FileAnchor, anchor_path


def test_there_is_none_at_first_and_then_what_was_written(tmp_path: Path) -> None:
    anchor = FileAnchor(anchor_path(tmp_path / "keys", "abc"))
    assert anchor.read() is None
    assert anchor.swap(None, "one\n")
    assert anchor.read() == "one\n"
    assert anchor.swap("one\n", "two\n")
    assert anchor.read() == "two\n"
    assert anchor.place == str(tmp_path / "keys" / "abc.anchor")
    assert not [path for path in (tmp_path / "keys").iterdir() if path.name.startswith(".draft")]


def test_what_was_written_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    anchor = FileAnchor(tmp_path / "a.anchor")
    anchor.swap(None, "one\n")
    assert not anchor.swap(None, "two\n")
    assert not anchor.swap("zero\n", "two\n")
    assert anchor.read() == "one\n"


def test_of_many_who_write_at_once_one_wins_each_time(tmp_path: Path) -> None:
    writers = 8
    anchors = [FileAnchor(tmp_path / "a.anchor") for _ in range(writers)]
    start = Barrier(writers)

    def write(number: int) -> bool:
        start.wait(9)
        return anchors[number].swap(None, f"{number}\n")

    with ThreadPoolExecutor(writers) as threads:
        won = list(threads.map(write, range(writers)))
    assert won.count(True) == 1
    assert anchors[0].read() == f"{won.index(True)}\n"

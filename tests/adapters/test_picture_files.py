"""Pictures on the disk: byte for byte, once, and under their name only when nothing can take them away any more."""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from ledger.adapters.pictures import FilePictures, clean_copy
from ledger.errors import MalformedError, NotFoundError
from tests.pictures import a_picture


@pytest.fixture
def pictures(tmp_path: Path) -> FilePictures:
    return FilePictures(tmp_path / "data" / "pictures")


def files(pictures: FilePictures) -> list[Path]:
    return sorted(path for path in pictures.folder.rglob("*") if path.is_file())


class Fault:
    """The n-th call of a function fails, before it did its work or after it."""

    def __init__(self, real: Callable[..., object], at: int, *, done: bool) -> None:
        self.real, self.at, self.done, self.calls = real, at, done, 0

    def __call__(self, *arguments: object) -> object:
        """As the function itself, but for that one time."""
        self.calls += 1
        if self.calls == self.at and not self.done:
            raise OSError(5, "Input/output error")
        result = self.real(*arguments)
        if self.calls == self.at:
            raise OSError(5, "Input/output error")
        return result


def test_original_and_clean_copy_are_kept_byte_for_byte(pictures: FilePictures) -> None:
    data = a_picture() + b"what hides behind it is kept as evidence"
    kept = pictures.keep(data)
    assert pictures.read(kept.original) == data
    assert pictures.read(kept.clean) == clean_copy(data)[0]
    assert (kept.width, kept.height) == (24, 36)
    for name in (kept.original, kept.clean):
        assert sha256(pictures.read(name)).hexdigest() == pictures.digest(name) == name
    assert pictures.stored() == sorted([kept.original, kept.clean])


def test_the_same_picture_twice_is_one_file(pictures: FilePictures) -> None:
    first = pictures.keep(a_picture())
    written = {path: path.stat().st_mtime_ns for path in files(pictures)}
    assert pictures.keep(a_picture()) == first
    assert {path: path.stat().st_mtime_ns for path in files(pictures)} == written
    assert len(written) == 2


def test_many_who_keep_the_same_picture_at_once_all_find_it_there(pictures: FilePictures) -> None:
    with ThreadPoolExecutor(8) as people:
        kept = list(people.map(lambda _: pictures.keep(a_picture()), range(16)))
    assert len(set(kept)) == 1
    assert len(files(pictures)) == 2


def test_a_picture_that_is_only_looked_at_leaves_nothing_behind(pictures: FilePictures) -> None:
    seen = pictures.glimpse(a_picture(size=(24, 36)), 12)
    assert (seen.width, seen.height) == (24, 36)
    with Image.open(BytesIO(seen.jpeg)) as small:
        assert (small.format, small.size) == ("JPEG", (12, 18))
    with pytest.raises(MalformedError):
        pictures.glimpse(b"<svg/>", 12)
    assert not pictures.folder.parent.exists()


def test_a_file_that_is_no_picture_leaves_nothing_behind(pictures: FilePictures) -> None:
    with pytest.raises(MalformedError):
        pictures.keep(b"<svg/>")
    assert not pictures.folder.exists()


def test_a_damaged_file_is_put_right_when_the_picture_is_kept_again(pictures: FilePictures) -> None:
    kept = pictures.keep(a_picture())
    path = pictures.folder / kept.original[:2] / kept.original
    path.write_bytes(b"damaged")
    assert pictures.digest(kept.original) == sha256(b"damaged").hexdigest()
    pictures.keep(a_picture())
    assert pictures.read(kept.original) == a_picture()


@pytest.mark.parametrize("name", ["", "a", "../../etc/passwd", "A" * 64, "g" * 64, "0" * 63, "0" * 65, "..", "/" * 64])
def test_a_name_that_is_no_digest_names_no_file(pictures: FilePictures, name: str) -> None:
    for ask in (pictures.read, pictures.digest):
        with pytest.raises(NotFoundError) as caught:
            ask(name)
        assert (caught.value.what, caught.value.name) == ("photograph", name)


def test_a_digest_of_no_file_is_not_there(pictures: FilePictures) -> None:
    assert pictures.digest("0" * 64) is None
    with pytest.raises(NotFoundError):
        pictures.read("0" * 64)


def calls_of_fsync(pictures: FilePictures, monkeypatch: pytest.MonkeyPatch) -> int:
    counted = Fault(os.fsync, 0, done=False)
    monkeypatch.setattr(os, "fsync", counted)
    pictures.keep(a_picture())
    monkeypatch.undo()
    return counted.calls


def test_every_name_and_every_byte_is_forced_to_the_disk(
    pictures: FilePictures, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = calls_of_fsync(pictures, monkeypatch)
    # data, pictures; then for each of two files: its folder's name, its bytes, its own name.
    assert calls == 2 + 2 * 3


@pytest.mark.parametrize("done", [False, True], ids=["not done", "done but said to have failed"])
@pytest.mark.parametrize("at", range(1, 9))
def test_a_failed_flush_leaves_no_file_that_might_be_lost_unseen(
    pictures: FilePictures,
    monkeypatch: pytest.MonkeyPatch,
    at: int,
    done: bool,  # noqa: FBT001
) -> None:
    monkeypatch.setattr(os, "fsync", Fault(os.fsync, at, done=done))
    with pytest.raises(OSError, match="Input/output error"):
        pictures.keep(a_picture())
    monkeypatch.undo()
    clean, *_ = clean_copy(a_picture())
    first, second = (sha256(data).hexdigest() for data in (a_picture(), clean))
    # The original may be there if it was the clean copy that failed: it was whole by then.
    assert pictures.stored() == ([first] if at > 5 else [])
    assert {path.name for path in files(pictures)} == set(pictures.stored())
    kept = pictures.keep(a_picture())
    assert (kept.original, kept.clean) == (first, second)
    assert pictures.digest(second) == second


@pytest.mark.parametrize("done", [False, True], ids=["not done", "done but said to have failed"])
@pytest.mark.parametrize("at", [1, 2])
def test_a_failed_renaming_leaves_no_draft(
    pictures: FilePictures,
    monkeypatch: pytest.MonkeyPatch,
    at: int,
    done: bool,  # noqa: FBT001
) -> None:
    fault = Fault(Path.replace, at, done=done)
    monkeypatch.setattr(Path, "replace", lambda path, target: fault(path, target))  # noqa: PLW0108 - becomes a method
    with pytest.raises(OSError, match="Input/output error"):
        pictures.keep(a_picture())
    monkeypatch.undo()
    assert {path.name for path in files(pictures)} == set(pictures.stored())
    assert len(pictures.stored()) == at - 1
    kept = pictures.keep(a_picture())
    assert len(pictures.stored()) == 2
    assert pictures.read(kept.original) == a_picture()


def test_bytes_that_come_back_otherwise_than_they_were_written_are_refused(
    pictures: FilePictures, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "read_bytes", lambda _: b"what a lying disk gives")
    with pytest.raises(OSError, match="does not hold what was written to it"):
        pictures.keep(a_picture())
    monkeypatch.undo()
    assert files(pictures) == []


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(["JPEG", "PNG", "WEBP", "TIFF"]),
    st.lists(st.tuples(st.integers(0, 2000), st.integers(0, 255)), max_size=6),
    st.integers(0, 2000),
)
def test_a_damaged_picture_is_refused_or_copied_and_nothing_else(
    kind: str, changes: list[tuple[int, int]], cut: int
) -> None:
    data = bytearray(a_picture(kind=kind))
    for place, byte in changes:
        data[place % len(data)] = byte
    try:
        clean, width, height = clean_copy(bytes(data[: len(data) - cut % 40]))
    except MalformedError:
        return
    assert clean.startswith(b"\xff\xd8\xff")
    assert min(width, height) > 0


def test_a_glance_tells_the_size_and_the_beginning_and_nothing_of_what_is_not_there(pictures: FilePictures) -> None:
    kept = pictures.keep(data := a_picture())
    assert pictures.read(kept.clean)[:2] == b"\xff\xd8"
    for name in {kept.clean, kept.original}:
        whole = pictures.read(name)
        assert pictures.glance(name) == (len(whole), whole[:16])
    assert kept.original == sha256(data).hexdigest()
    assert pictures.glance("0" * 64) is None

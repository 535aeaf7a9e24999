"""Hostile files cost a refusal and nothing else; what is taken is kept as it came, and shown without what it tells."""

import io
import os
import signal
import sys
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from time import perf_counter

import pytest
from PIL import Image

from ledger.adapters.picture_decoder import CPU_S, MEMORY_MOST, PIXELS_MOST, SIDE_MOST, Decoded, Refused
from ledger.adapters.picture_reader import PictureReader
from ledger.adapters.pictures import READER, FilePictures, clean_copy
from ledger.ports import KeptPicture
from ledger.proof.report import MalformedError
from tests.counts import count
from tests.hostile import CANARY, End, Hostile, drawn, heavy, light, written
from tests.pictures import a_picture

FURTHER = "SLIPSHEET_TEST_PICTURES"
"""Names a folder of further files that are sent as photographs too; `.ci/run` brings those that Pillow is tested with."""
LONGEST_S = CPU_S * 4
"""For one file, on a machine that is busy with other things."""
SPELLINGS = (
    CANARY,
    CANARY.decode().encode("utf-16-le"),
    CANARY.decode().encode("utf-16-be"),
    CANARY[::-1],
    CANARY.hex().encode(),
)
WIDTHS = (16, 160)


@pytest.fixture
def pictures(tmp_path: Path) -> FilePictures:
    return FilePictures(tmp_path / "pictures")


@pytest.fixture
def reader() -> Iterator[PictureReader]:
    made = PictureReader()
    yield made
    made.close()


def sent(pictures: FilePictures, data: bytes) -> KeptPicture | None:
    """What was kept; None where it was refused in the shape in which everything is refused."""
    start, refused, kept = perf_counter(), None, None
    try:
        kept = pictures.keep(data)
    except MalformedError as error:
        refused = error
    assert perf_counter() - start < LONGEST_S
    if refused is not None:
        assert refused.what == "The photograph"
        assert refused.problem
        assert refused.mend
        assert CANARY.decode() not in str(refused)
    if kept is not None:
        assert pictures.read(kept.original) == data
        assert max(kept.width, kept.height) <= SIDE_MOST
        assert 1 <= kept.width * kept.height <= PIXELS_MOST
    return kept


def names(pictures: FilePictures) -> set[str]:
    """Every file that lies in the folder, drafts among them."""
    return {path.name for path in pictures.folder.rglob("*") if path.is_file()}


def shown(pictures: FilePictures, kept: KeptPicture) -> Iterator[bytes]:
    """Every copy that anybody gets to see."""
    yield pictures.read(kept.clean)
    for width in WIDTHS:
        yield pictures.small(kept.clean, width)


def faults(pictures: FilePictures, files: Iterator[Hostile]) -> Iterator[str]:
    """What did not become of a file as it has to."""
    expected: set[str] = set()
    for file in files:
        kept = sent(pictures, file.data)
        end = End.TAKEN if kept else End.REFUSED
        if file.end not in (end, End.EITHER):
            yield f"{file}: {end}"
        if kept and any(spelling in copy for copy in shown(pictures, kept) for spelling in SPELLINGS):
            yield f"{file}: tells what it should not"
        expected |= {kept.original, kept.clean} if kept else set()
    if names(pictures) != expected:
        yield "something else lies in the folder than what was taken"


def test_files_cut_changed_mistaken_odd_and_telling_cost_a_refusal_or_are_taken(pictures: FilePictures) -> None:
    assert list(faults(pictures, islice(light(), 0, None, count(4, 1)))) == []
    assert isinstance(READER.ask(a_picture()), Decoded)


@pytest.mark.long
def test_files_that_cost_much_are_held_to_their_limits(pictures: FilePictures) -> None:
    assert list(faults(pictures, heavy.files())) == []
    assert isinstance(READER.ask(a_picture()), Decoded)


def test_there_are_more_than_two_hundred_of_them_each_by_a_name_of_its_own() -> None:
    found = [file.name for file in light()]
    assert len(found) == len(set(found)) > 200


def test_further_files_of_whoever_runs_the_tests_keep_the_same_limits(pictures: FilePictures, tmp_path: Path) -> None:
    folders = [some_of_our_own(tmp_path / "own"), *(Path(each) for each in (os.environ.get(FURTHER),) if each)]
    for folder in folders:
        ends = Counter(ended(pictures, path) for path in sorted(folder.rglob("*")) if path.is_file())
        assert ends, f"no file lies in {folder}"
        print(f"{folder}: {ends[End.TAKEN]} taken, {ends[End.REFUSED]} refused")
        assert ends[End.TAKEN]
        assert ends[End.REFUSED]
    assert isinstance(READER.ask(a_picture()), Decoded)


def ended(pictures: FilePictures, path: Path) -> End:
    """What became of a file; nothing is left of one that was refused, and no copy tells more than its picture."""
    before = names(pictures)
    kept = sent(pictures, path.read_bytes())
    if kept is None:
        assert names(pictures) == before
        return End.REFUSED
    for copy in shown(pictures, kept):
        with Image.open(io.BytesIO(copy), formats=("JPEG",)) as picture:
            assert not picture.getexif()
            assert not {"icc_profile", "xmp", "comment", "photoshop"} & picture.info.keys()
    assert READER.told(path.read_bytes()) is not None
    return End.TAKEN


def some_of_our_own(folder: Path) -> Path:
    """A folder of files as somebody could name one, where nobody did."""
    folder.mkdir()
    for number, file in enumerate(islice(light(), 0, None, 12)):
        (folder / f"{number}.jpg").write_bytes(file.data)
    return folder


def slow_picture() -> bytes:
    """As many passes as are let through, over as many pixels as the test needs."""
    data = written(drawn((8, 8)).convert("L").resize((4000, 4000)), "JPEG", progressive=True)
    return data[:-2] + heavy.empty_scans(80) + b"\xff\xd9"


def test_a_file_that_takes_too_long_costs_a_refusal_and_the_next_one_is_taken() -> None:
    # No machine starts the process and decodes in no time at all.
    hurried = PictureReader(wait=0.0)
    try:
        start = perf_counter()
        assert hurried.ask(slow_picture()) is None
        assert perf_counter() - start < LONGEST_S
    finally:
        hurried.close()
    patient = PictureReader()
    try:
        assert isinstance(patient.ask(a_picture()), Decoded)
    finally:
        patient.close()


def test_too_many_passes_are_refused_without_making_them() -> None:
    data = slow_picture()[:-2] + heavy.empty_scans(100) + b"\xff\xd9"
    with pytest.raises(MalformedError, match="more than 100 passes"):
        clean_copy(data)


@pytest.mark.skipif(sys.platform == "win32", reason="signals are another thing there")
def test_a_file_that_ends_the_decoder_is_refused_and_the_next_one_finds_another(reader: PictureReader) -> None:
    assert isinstance(reader.ask(a_picture()), Decoded)
    first = reader.pid
    assert first is not None
    os.kill(first, signal.SIGSTOP)
    os.kill(first, signal.SIGKILL)
    answers = [reader.ask(a_picture()) for _ in range(2)]
    assert isinstance(answers[-1], Decoded)
    assert reader.pid not in (first, None)


def test_a_refusal_is_said_for_what_ended_the_decoder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(PictureReader, "ask", lambda _self, _data: None)
    with pytest.raises(MalformedError, match="more time or memory"):
        clean_copy(a_picture())


@pytest.mark.skipif(sys.platform != "linux", reason="only this system lets one process read the limits of another")
def test_the_decoder_has_so_much_memory_and_time_and_no_more(reader: PictureReader) -> None:
    assert sys.platform == "linux"
    import resource  # noqa: PLC0415 - there is none on every system

    assert isinstance(reader.ask(a_picture()), Decoded)
    assert reader.pid is not None
    assert resource.prlimit(reader.pid, resource.RLIMIT_AS) == (MEMORY_MOST, MEMORY_MOST)
    assert 0 < resource.prlimit(reader.pid, resource.RLIMIT_CPU)[0] <= CPU_S + 5
    # With hardly more memory than it has, a large picture does not fit, and a small one does after it.
    used = int(Path(f"/proc/{reader.pid}/statm").read_text().split()[0]) * resource.getpagesize()
    resource.prlimit(reader.pid, resource.RLIMIT_AS, (used + (24 << 20), MEMORY_MOST))
    answer = reader.ask(written(drawn().resize((5000, 5000)), "PNG"))
    assert isinstance(answer, Refused)
    assert "memory" in answer.problem
    assert isinstance(reader.ask(a_picture()), Decoded)


@pytest.mark.skipif(sys.platform != "linux", reason="only this system lets one process set the limits of another")
def test_the_system_ends_a_decoder_whose_time_is_over(reader: PictureReader) -> None:
    assert sys.platform == "linux"
    import resource  # noqa: PLC0415 - there is none on every system

    assert isinstance(reader.ask(a_picture()), Decoded)
    assert reader.pid is not None
    resource.prlimit(reader.pid, resource.RLIMIT_CPU, (1, 1))
    # However quick the machine: each takes some of it, and the process started in the place of the ended one has time again.
    assert any(reader.ask(slow_picture()) is None for _ in range(1000))
    assert isinstance(reader.ask(a_picture()), Decoded)


def test_a_closed_reader_starts_anew_when_it_is_asked(reader: PictureReader) -> None:
    assert isinstance(reader.ask(a_picture()), Decoded)
    reader.close()
    reader.close()
    assert reader.pid is None
    assert isinstance(reader.ask(a_picture()), Decoded)

"""The zip of an archive: read by other programs, beyond 4 GiB too, with memory that stays flat."""

import io
import zipfile
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Final

import pytest

from ledger.archive.lines import line_of, lines_of, row_of
from ledger.archive.zip_files import ZipReader, ZipWriter
from ledger.errors import MalformedError

TOP: Final = "bag"
FAR: Final = 5 * 2**30
"""Beyond what 32 bits can say. Units: bytes."""


def zipped(**files: bytes) -> bytes:
    made = io.BytesIO()
    writer = ZipWriter(made, TOP)
    for name, data in files.items():
        writer.add(name, [data[:3], data[3:]])
    assert writer.finish() == len(made.getvalue())
    return made.getvalue()


def test_another_program_reads_what_was_written() -> None:
    data = zipped(one=b"1234567", none=b"", two=b"\x00" * 100)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == {
            "bag/one": b"1234567",
            "bag/none": b"",
            "bag/two": b"\x00" * 100,
        }
    found = {name: b"".join(pieces) for name, pieces in ZipReader(io.BytesIO(data), len(data), TOP)}
    assert found == {"one": b"1234567", "none": b"", "two": b"\x00" * 100}


def test_what_was_written_says_its_size_and_digest() -> None:
    written = ZipWriter(io.BytesIO(), TOP).add("x", [b"ab", b"", b"c"])
    assert (written.size, written.sha256) == (3, sha256(b"abc").hexdigest())


def test_a_file_that_lies_beyond_four_gigabytes_is_found_by_other_programs(tmp_path: Path) -> None:
    """The bytes before it are a hole in the file, as if a large file lay there that is not listed."""
    path = tmp_path / "far.zip"
    with path.open("w+b") as file:
        writer = ZipWriter(file, TOP)
        writer._place = FAR
        file.seek(FAR)
        writer.add("far", [b"beyond"])
        writer.finish()
    with zipfile.ZipFile(path) as archive:
        (info,) = archive.infolist()
        assert info.header_offset == FAR
        assert archive.read(info) == b"beyond"


def test_a_file_is_read_again_as_it_was() -> None:
    data = zipped(one=b"1234567", two=b"89")
    reader = ZipReader(io.BytesIO(data), len(data), TOP)
    assert [name for name, _ in reader] == ["one", "two"]
    assert b"".join(reader.again("two")) == b"89"
    assert b"".join(reader.again("one")) == b"1234567"


ROWS = [
    {"id": "a", "n": 1, "none": None, "b": b"\x00\xff"},
    {"id": "line\nline \u2028 \u00e9 \U0001f4d6", "data": '{"x": "\\u0000"}', "n": -(2**63)},
    {"id": "", "b": b""},
]


@pytest.mark.parametrize("row", ROWS)
def test_a_row_comes_back_as_it_was_written(row: dict[str, object]) -> None:
    line = line_of(row)
    assert line.count(b"\n") == 1
    assert row_of("x", 1, line) == row


@pytest.mark.parametrize(
    "line",
    [
        b'{"a":1.0}\n',
        b'{"a":true}\n',
        b'{"a":[1]}\n',
        b'{"a":{"b":1}}\n',
        b'{"a":{"base64":"QQ=="},"a":1}\n',
        b'{"a":{"base64":"QQ"}}\n',
        b'{"a":{"base64":"QR=="}}\n',
        b'{"a":9223372036854775808}\n',
        b'{"a":NaN}\n',
        b'{"b":1,"a":1}\n',
        b'{"a":"\\u0041"}\n',
        b'{"a": 1}\n',
        b"{}\n",
        b"[]\n",
        b"1\n",
        b"[" * 100_000 + b"\n",
        b"\xff\n",
        b'{"a":1}',
    ],
)
def test_a_line_that_is_spelled_otherwise_is_no_row(line: bytes) -> None:
    with pytest.raises(MalformedError, match="line 7 is no row"):
        row_of("x", 7, line)


def pieces_of(data: bytes, size: int) -> Iterator[bytes]:
    return (data[at : at + size] for at in range(0, len(data), size))


@pytest.mark.parametrize("size", [1, 2, 3, 5, 100])
def test_lines_are_the_same_however_they_come_in_pieces(size: int) -> None:
    data = b"a\n\nbcd\n"
    assert list(lines_of("x", pieces_of(data, size))) == [b"a\n", b"\n", b"bcd\n"]


def test_a_last_line_without_its_end_is_refused() -> None:
    with pytest.raises(MalformedError, match="last line has no end"):
        list(lines_of("x", [b"a\nb"]))


@pytest.mark.parametrize("packing", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
@pytest.mark.parametrize("folders", [0, 1])
def test_one_that_another_program_packed_anew_is_refused_in_such_words(packing: int, folders: int) -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", packing) as archive:
        if folders:
            archive.mkdir(TOP)
        archive.writestr(f"{TOP}/one", b"1234567")
    with pytest.raises(MalformedError, match="another program packed it anew"):
        next(iter(ZipReader(made, len(made.getvalue()), TOP)))

"""Files in one zip: what is written is read, and every lie about them is refused."""

import io
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable

import pytest

from ledger.proof import zipped
from ledger.proof.report import MalformedError
from ledger.proof.zipped import read_zip, write_zip, zip_parts

FILES = {"a.txt": b"first\n", "data/b.bin": bytes(range(256)), "data/c.txt": b""}


def with_files(*made: tuple[str | zipfile.ZipInfo, bytes], how: int = zipfile.ZIP_STORED) -> bytes:
    """A zip as the standard library writes it."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", how) as archive:
        for name, data in made:
            archive.writestr(name, data)
    return out.getvalue()


def refusal_of(data: bytes) -> str:
    with pytest.raises(MalformedError) as caught:
        read_zip(data)
    return str(caught.value)


def changed_at(data: bytes, sign: bytes, offset: int, new: bytes) -> bytes:
    """The zip with bytes set in its first header of that sign."""
    at = data.index(sign) + offset
    return data[:at] + new + data[at + len(new) :]


LOCAL, CENTRAL = b"PK\x03\x04", b"PK\x01\x02"


def test_what_is_written_is_read() -> None:
    assert read_zip(write_zip(FILES, "record")) == FILES


def test_the_standard_library_reads_what_is_written_and_nothing_is_deflated() -> None:
    with zipfile.ZipFile(io.BytesIO(write_zip(FILES, "record"))) as archive:
        assert archive.testzip() is None
        assert {each.filename: archive.read(each) for each in archive.infolist()} == {
            f"record/{name}": data for name, data in FILES.items()
        }
        assert {each.compress_type for each in archive.infolist()} == {zipfile.ZIP_STORED}


@pytest.mark.parametrize("top", ["record", "r\u00e9cord"])
def test_what_is_written_is_what_the_standard_library_writes_byte_for_byte(top: str) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(FILES):
            info = zipfile.ZipInfo(f"{top}/{name}", (1980, 1, 1, 0, 0, 0))
            info.create_system, info.external_attr = 3, (stat.S_IFREG | 0o644) << 16
            archive.writestr(info, FILES[name])
    assert write_zip(FILES, top) == out.getvalue()


def test_the_content_of_a_file_is_a_piece_as_it_is() -> None:
    parts = zip_parts(FILES, "record")
    assert all(any(part is content for part in parts) for content in FILES.values())
    assert b"".join(parts) == write_zip(FILES, "record")


def test_more_files_than_a_zip_can_say_are_refused() -> None:
    with pytest.raises(MalformedError, match="there are more files or bytes than one can hold"):
        zip_parts({f"{number:05}": b"" for number in range(65_535)}, "record")


def test_more_bytes_than_a_zip_can_say_are_refused() -> None:
    # One piece of memory under many names.
    content = bytes(1 << 24)
    with pytest.raises(MalformedError, match="there are more files or bytes than one can hold"):
        zip_parts({f"{number:03}": content for number in range(256)}, "record")


def test_the_same_files_give_the_same_bytes_in_whatever_order_they_come() -> None:
    assert write_zip(FILES, "record") == write_zip(dict(reversed(FILES.items())), "record")


def test_a_zip_that_was_deflated_by_somebody_else_is_read_and_its_folders_are_kept() -> None:
    folder = zipfile.ZipInfo("bag/data/")
    data = with_files(("bag/", b""), (folder, b""), ("bag/data/x", b"x" * 5000), how=zipfile.ZIP_DEFLATED)
    assert read_zip(data) == {"data/": b"", "data/x": b"x" * 5000}


def test_a_zip_written_to_a_pipe_says_its_sizes_behind_its_files_and_is_read() -> None:
    class Pipe(io.RawIOBase):
        """Takes bytes and cannot go back."""

        def __init__(self) -> None:
            self.kept = b""

        def writable(self) -> bool:
            return True

        def write(self, data: object) -> int:
            self.kept += bytes(data)  # type: ignore[call-overload]  # any buffer
            return len(bytes(data))  # type: ignore[call-overload]  # as above

    pipe = Pipe()
    with zipfile.ZipFile(pipe, "w") as archive:
        archive.writestr("bag/x", b"one")
        archive.writestr("bag/y", b"two")
    assert read_zip(pipe.kept) == {"x": b"one", "y": b"two"}


@pytest.mark.parametrize(
    "name",
    [
        "bag/../outside.txt",
        "/bag/x",
        "bag/./x",
        "bag//x",
        "bag\\x",
        "C:/x",
        "../bag/x",
        "bag/line\nbreak",
        "bag/turned\u202eround",
    ],
)
def test_a_name_that_leads_elsewhere_is_refused(name: str) -> None:
    assert "leads elsewhere" in refusal_of(with_files((name, b"x")))


def test_a_file_outside_the_one_folder_is_refused() -> None:
    assert "does not lie in the one folder" in refusal_of(with_files(("bag/x", b"x"), ("other/y", b"y")))
    assert "does not lie in the one folder" in refusal_of(with_files(("x", b"x")))


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_files_of_one_name_are_refused() -> None:
    assert "two files have this name" in refusal_of(with_files(("bag/x", b"one"), ("bag/x", b"two")))


def test_a_link_and_a_device_are_refused() -> None:
    for kind in (stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR):
        info = zipfile.ZipInfo("bag/x")
        info.create_system, info.external_attr = 3, (kind | 0o777) << 16
        assert "a link or a device" in refusal_of(with_files((info, b"/etc/passwd")))


def test_an_encrypted_file_is_refused() -> None:
    data = with_files(("bag/x", b"x"))
    data = changed_at(changed_at(data, LOCAL, 6, b"\x01\x00"), CENTRAL, 8, b"\x01\x00")
    assert "encrypted" in refusal_of(data)


def test_words_beside_the_files_are_refused() -> None:
    out = io.BytesIO(with_files(("bag/x", b"x")))
    with zipfile.ZipFile(out, "a") as archive:
        archive.comment = b"trust me"
    assert "words beside its files" in refusal_of(out.getvalue())


def test_bytes_before_between_and_behind_the_files_are_refused() -> None:
    data = with_files(("bag/x", b"x"), ("bag/y", b"y"))
    assert "belong to none" in refusal_of(b"#!/bin/sh\n" + data)
    assert "belong to none" in refusal_of(data[: data.index(CENTRAL)] + b"hidden" + data[data.index(CENTRAL) :])
    second = data.index(LOCAL, 4)
    moved = bytearray(data[:second] + b"hidden" + data[second:])
    last = moved.rindex(CENTRAL)
    struct.pack_into("<I", moved, last + 42, second + len(b"hidden"))
    end = moved.rindex(b"PK\x05\x06")
    struct.pack_into("<I", moved, end + 16, moved.index(CENTRAL))
    assert "bytes that belong to none lie before it" in refusal_of(bytes(moved))


def test_two_files_that_share_their_bytes_are_refused() -> None:
    data = bytearray(with_files(("bag/x", b"x" * 50), ("bag/y", b"x" * 50)))
    struct.pack_into("<I", data, data.rindex(CENTRAL) + 42, 0)
    assert "overlaps another file" in refusal_of(bytes(data))


def lying(field: int) -> Callable[[bytes], bytes]:
    def lie(data: bytes) -> bytes:
        at = data.index(CENTRAL) + field
        return data[:at] + struct.pack("<I", struct.unpack_from("<I", data, at)[0] + 1) + data[at + 4 :]

    return lie


@pytest.mark.parametrize("field", [16, 20, 24], ids=["checksum", "packed", "unpacked"])
@pytest.mark.parametrize("how", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
def test_a_size_or_checksum_that_is_said_in_two_ways_is_refused(field: int, how: int) -> None:
    assert "said in two ways" in refusal_of(lying(field)(with_files(("bag/x", b"x" * 500), how=how)))


def test_a_file_that_unpacks_to_more_than_it_says_is_refused_without_being_unpacked() -> None:
    packed = zlib.compressobj(9, zlib.DEFLATED, -15)
    bomb = packed.compress(b"\x00" * 50_000_000) + packed.flush()
    said = 10
    crc = zlib.crc32(b"\x00" * said)
    name = b"bag/x"
    numbers = struct.pack("<5H3I2H", 20, 0, 8, 0, 33, crc, len(bomb), said, len(name), 0)
    local = LOCAL + numbers + name + bomb
    central = CENTRAL + b"\x14\x03" + numbers + struct.pack("<3H2I", 0, 0, 0, 0o644 << 16, 0) + name
    end = b"PK\x05\x06" + struct.pack("<4H2IH", 0, 0, 1, 1, len(central), len(local), 0)
    assert "unpacks to another size" in refusal_of(local + central + end)


def test_more_files_or_bytes_than_a_record_holds_are_refused_before_one_is_read() -> None:
    data = with_files(("bag/x", b"x"))
    huge = changed_at(changed_at(data, LOCAL, 22, b"\xff\xff\xff\x7f"), CENTRAL, 24, b"\xff\xff\xff\x7f")
    assert "more than" in refusal_of(huge)
    assert "more than" in refusal_of(with_files(*((f"bag/{number}", b"") for number in range(4097))))


def test_a_limit_of_the_readers_own_is_kept_before_one_file_is_read() -> None:
    data = with_files(("bag/x", bytes(600)), ("bag/y", bytes(600)), how=zipfile.ZIP_DEFLATED)
    assert read_zip(data, most=1200) == {"x": bytes(600), "y": bytes(600)}
    with pytest.raises(MalformedError, match="more than 4096 files or 1199 bytes"):
        read_zip(data, most=1199)


def test_files_that_nobody_asked_for_are_neither_unpacked_nor_counted() -> None:
    data = with_files(("bag/x", b"record"), ("bag/y", bytes(5_000)), how=zipfile.ZIP_DEFLATED)
    changed = bytearray(data)
    at = data.index(b"bag/y") + len(b"bag/y") + 2
    changed[at] ^= 0xFF
    assert read_zip(bytes(changed), most=6, only={"x"}) == {"x": b"record"}
    assert read_zip(data, most=6, only={"z"}) == {}
    with pytest.raises(MalformedError):
        read_zip(bytes(changed))


def test_a_list_of_more_files_than_a_record_has_is_refused_before_the_library_reads_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The library makes an object of each of them, a hundred times as large as its line in the list."""
    many = with_files(*((f"bag/{number}", b"") for number in range(4097)))
    with zipfile.ZipFile(out := io.BytesIO(many), "a") as archive:
        archive.comment = b"x" * 1000
    long = bytearray(with_files(("bag/x", b"x")))
    struct.pack_into("<I", long, long.rindex(b"PK\x05\x06") + 12, 0x7FFFFFFF)
    monkeypatch.setattr(zipped, "ZipFile", None)
    for data in (many, out.getvalue(), bytes(long)):
        assert "more than 4096 files" in refusal_of(data)


def test_a_zip_that_says_its_list_lies_beyond_4_gib_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Source: APPNOTE section 4.3.15, the locator of the end beyond 4 GiB."""
    data = with_files(("bag/x", b"x"))
    end = data.rindex(b"PK\x05\x06")
    far = data[:end] + b"PK\x06\x07" + struct.pack("<IQI", 0, 0, 1) + data[end:]
    monkeypatch.setattr(zipped, "ZipFile", None)
    assert "beyond 4 GiB" in refusal_of(far)


def test_what_is_no_zip_or_an_empty_one_is_refused() -> None:
    for data in (b"", b"not a zip", with_files(("bag/x", b"x"))[:-10]):
        assert "cannot be read" in refusal_of(data)
    assert "nothing in it" in refusal_of(with_files())


def test_a_changed_byte_anywhere_in_a_zip_is_refused_or_changes_no_file() -> None:
    data = write_zip(FILES, "record")
    for place in range(len(data)):
        damaged = data[:place] + bytes([data[place] ^ 0x10]) + data[place + 1 :]
        try:
            found = read_zip(damaged)
        except MalformedError:
            continue
        assert found == FILES, f"byte {place}"

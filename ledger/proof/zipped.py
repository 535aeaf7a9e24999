"""Files in one zip, read so strictly that every reader sees the same files in it, and written in one way.

Nothing is unpacked to a disk, and nothing is read that was not announced: a name that leads elsewhere, a size that
lies, bytes between the files, two files under one name are refused.

Source: PKWARE APPNOTE 6.3, sections 4.3.7 (local header), 4.3.12 (central directory), 4.3.16 (its end), 4.4.4 (flags),
4.4.5 (methods).
"""

import io
import stat
import struct
import zlib
from collections.abc import Container, Mapping, Sequence
from typing import Final, NoReturn
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from ledger.proof.report import MalformedError

__all__ = ["read_zip", "write_zip", "zip_parts"]

FILES_MOST: Final = 4096
BYTES_MOST: Final = 1024 * 1024 * 1024
"""Unpacked, where nobody says less. A record of a thousand photographs stays below; our assumption."""
_DIRECTORY_MOST: Final = FILES_MOST * 1024
"""Bytes of the list of files: far more than so many names take, and little enough to be read before they are counted."""
_LOCAL: Final = struct.Struct("<4s5H3I2H")
_LOCAL_SIGN: Final = b"PK\x03\x04"
_END: Final = struct.Struct("<4s4H2IH")
_END_SIGN: Final = b"PK\x05\x06"
_END_BYTES: Final = 22
_COMMENT_MOST: Final = 0xFFFF
"""Words that may stand behind the end. Source: APPNOTE section 4.4.12."""
_FAR_SIGN: Final = b"PK\x06\x07"
_FAR_BYTES: Final = 20
_ENCRYPTED: Final = 0x1
_SIZES_FOLLOW: Final = 0x8
_DESCRIPTORS: Final = (12, 16)
"""Bytes of a descriptor without and with its sign."""
_LISTED: Final = struct.Struct("<4s6H3I5H2I")
_LISTED_SIGN: Final = b"PK\x01\x02"
_VERSION: Final = 20
"""Needed to read it. Source: APPNOTE section 4.4.3.2."""
_WRITTEN: Final = (0, 0x21)
"""Time and day, 1 January 1980, 0:00, the first that there is: the same files give the same bytes."""
_UTF_8: Final = 0x800
_NUMBERS_MOST: Final = 0xFFFE
_PLACE_MOST: Final = 0xFFFF_FFFE - (1 << 28)
"""So that the list of files behind them has room too."""
_UNIX: Final = 3
_PLAIN_FILE: Final = (stat.S_IFREG | 0o644) << 16


def write_zip(files: Mapping[str, bytes], top: str) -> bytes:
    """As `zip_parts`, in one piece."""
    return b"".join(zip_parts(files, top))


def zip_parts(files: Mapping[str, bytes], top: str) -> list[bytes]:
    """The files under one folder, in the order of their names, as pieces to be written one after another.

    They are stored and not deflated: photographs would not become smaller. Keeps: the same files give the same bytes,
    and the content of a file is a piece as it is, of which no copy is made.
    Requires: a folder of one name
    Raises: MalformedError for more than a zip without its 64 bit extension can say.
    """
    assert top
    assert "/" not in top
    parts: list[bytes] = []
    listed: list[bytes] = []
    place = 0
    for name in sorted(files):
        content = files[name]
        spelled, flags = _to_spell(f"{top}/{name}")
        if len(listed) >= _NUMBERS_MOST or place + len(content) + len(spelled) + _LOCAL.size > _PLACE_MOST:
            _refuse("", "there are more files or bytes than one can hold", "Make several.")
        said = (_VERSION, flags, ZIP_STORED, *_WRITTEN, zlib.crc32(content), len(content), len(content))
        local = _LOCAL.pack(_LOCAL_SIGN, *said, len(spelled), 0) + spelled
        by_unix = (len(spelled), 0, 0, 0, 0, _PLAIN_FILE, place)
        listed.append(_LISTED.pack(_LISTED_SIGN, _VERSION | _UNIX << 8, *said, *by_unix) + spelled)
        parts += [local, content]
        place += len(local) + len(content)
    directory = b"".join(listed)
    return [*parts, directory, _END.pack(_END_SIGN, 0, 0, len(listed), len(listed), len(directory), place, 0)]


def _to_spell(name: str) -> tuple[bytes, int]:
    """The name as it is written, and the flag that says how. Source: APPNOTE section 4.4.4, bit 11."""
    return (name.encode("ascii"), 0) if name.isascii() else (name.encode("utf-8"), _UTF_8)


def read_zip(data: bytes, *, most: int = BYTES_MOST, only: Container[str] | None = None) -> dict[str, bytes]:
    """The files by their names below the one folder that is in it; a folder's name ends with a slash.

    `most` is how many bytes are unpacked; `only` names the files that are unpacked at all, left out for all of them.
    Raises: MalformedError.
    """
    _need_short_list(data)
    try:
        with ZipFile(io.BytesIO(data)) as archive:
            infos, start = archive.infolist(), archive.start_dir
            if archive.comment:
                _refuse("", "it carries words beside its files")
    except (BadZipFile, ValueError, OverflowError, NotImplementedError, struct.error) as error:
        raise MalformedError(what="The zip", problem=f"it cannot be read ({error})", mend=_AGAIN) from error
    if not infos:
        _refuse("", "there is nothing in it")
    directory = sum(len(_spelled(each)) + len(each.extra) + len(each.comment) + 46 for each in infos)
    if start + directory + _END_BYTES != len(data):
        _refuse("", "there are bytes behind its files that belong to none")
    found = _read(data, _named(infos, most, only), start)
    if _END.unpack(data[-_END_BYTES:]) != (_END_SIGN, 0, 0, len(infos), len(infos), directory, start, 0):
        _refuse("", "its end says something else than what is in it")
    found.pop("", None)
    return found


_AGAIN: Final = "Ask for the file again."
_BY_COMMAND: Final = (
    "Check it with the command slipsheet check, which takes more, or take the file record.json out of it."
)


def _refuse(name: str, problem: str, mend: str = _AGAIN) -> NoReturn:
    raise MalformedError(what="The zip", where=ascii(name[:200]) if name else "", problem=problem, mend=mend)


def _need_short_list(data: bytes) -> None:
    """Refuse a list of more files than a record has, before the library makes an object of each of them.

    Source: APPNOTE sections 4.3.15 (where a list beyond 4 GiB is said to be) and 4.3.16.
    """
    at = data.rfind(_END_SIGN, max(0, len(data) - _END_BYTES - _COMMENT_MOST))
    if at < 0 or len(data) < at + _END_BYTES:
        return
    _, _, _, _, files, directory, _, _ = _END.unpack(data[at : at + _END_BYTES])
    if files > FILES_MOST or directory > _DIRECTORY_MOST:
        _refuse("", f"it says it holds more than {FILES_MOST} files, or names longer than a record has")
    if data[max(0, at - _FAR_BYTES) : at].startswith(_FAR_SIGN):
        _refuse("", "it is written for files beyond 4 GiB")


def _named(infos: Sequence[ZipInfo], most: int, only: Container[str] | None) -> list[tuple[str, ZipInfo, bool]]:
    """Every file under its name, in the order in which they lie, and whether it is unpacked; refused before one is."""
    top = infos[0].filename.partition("/")[0]
    named = []
    for info in sorted(infos, key=lambda each: each.header_offset):
        name = _name(info, top)
        named.append((name, info, only is None or name in only))
    if len(infos) > FILES_MOST or sum(info.file_size for _, info, wanted in named if wanted) > most:
        mend = _AGAIN if most == BYTES_MOST else _BY_COMMAND
        _refuse("", f"it says it holds more than {FILES_MOST} files or {most} bytes", mend)
    return named


def _read(data: bytes, named: Sequence[tuple[str, ZipInfo, bool]], start: int) -> dict[str, bytes]:
    """What is unpacked; all of them must lie one behind the other, up to the list of them."""
    found: dict[str, bytes] = {}
    seen: set[str] = set()
    end, follows = 0, False
    for name, info, wanted in named:
        if not _joined(end, info.header_offset, follows=follows):
            _refuse(info.orig_filename, "it overlaps another file, or bytes that belong to none lie before it")
        if name in seen:
            _refuse(name, "two files have this name")
        seen.add(name)
        begins = _begins(data, info)
        end = begins + info.compress_size
        if wanted:
            found[name] = _content(data[begins:end], info)
        follows = bool(info.flag_bits & _SIZES_FOLLOW)
    if not _joined(end, start, follows=follows):
        _refuse("", "there are bytes behind its files that belong to none")
    return found


def _spelled(info: ZipInfo) -> bytes:
    """The name as it stands in the file. Source: APPNOTE section 4.4.4, bit 11."""
    return info.orig_filename.encode("utf-8" if info.flag_bits & _UTF_8 else "cp437")


def _name(info: ZipInfo, top: str) -> str:
    """The name below the one folder."""
    name = info.orig_filename
    parts = name.removesuffix("/").split("/")
    if {"", ".", ".."} & set(parts) or "\\" in name or ":" in parts[0] or not name.isprintable():
        _refuse(name, "its name leads elsewhere, or cannot be shown")
    if parts[0] != top or (len(parts) == 1 and not name.endswith("/")):
        _refuse(name, "it does not lie in the one folder")
    if info.flag_bits & _ENCRYPTED:
        _refuse(name, "it is encrypted")
    kind = stat.S_IFMT(info.external_attr >> 16) if info.create_system == _UNIX else 0
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        _refuse(name, "it is a link or a device, and no file")
    if name.endswith("/") and info.file_size:
        _refuse(name, "it is a folder and has content")
    return name.partition("/")[2]


def _joined(end: int, start: int, *, follows: bool) -> bool:
    """Nothing lies between, save a descriptor behind a file whose sizes follow it. Source: APPNOTE section 4.3.9."""
    return start - end in (_DESCRIPTORS if follows else (0,))


def _begins(data: bytes, info: ZipInfo) -> int:
    """Where the file's own bytes begin, behind what is said of it there, which is what the list says of it."""
    name, spelled = info.orig_filename, _spelled(info)
    follows = bool(info.flag_bits & _SIZES_FOLLOW)
    head = data[info.header_offset : info.header_offset + _LOCAL.size]
    if len(head) < _LOCAL.size:
        _refuse(name, "it is not where it is said to be")
    sign, _, flags, method, _, _, crc, packed, size, name_length, extra = _LOCAL.unpack(head)
    start: int = info.header_offset + _LOCAL.size + name_length + extra
    said = (info.CRC, info.compress_size, info.file_size)
    if sign != _LOCAL_SIGN or data[info.header_offset + _LOCAL.size :][:name_length] != spelled:
        _refuse(name, "it is not where it is said to be, or has another name there")
    if method != info.compress_type or flags != info.flag_bits or (not follows and (crc, packed, size) != said):
        _refuse(name, "its size or make is said in two ways")
    return start


def _content(raw: bytes, info: ZipInfo) -> bytes:
    """What the file holds."""
    name = info.orig_filename
    content = _unpacked(name, raw, info)
    if len(raw) != info.compress_size or len(content) != info.file_size or zlib.crc32(content) != info.CRC:
        _refuse(name, "it is not of the size and checksum it is said to have")
    return content


def _unpacked(name: str, raw: bytes, info: ZipInfo) -> bytes:
    if info.compress_type == ZIP_STORED:
        return raw
    if info.compress_type != ZIP_DEFLATED:
        _refuse(name, "it is packed in a way that is not read here")
    unpacking = zlib.decompressobj(-zlib.MAX_WBITS)
    try:
        content = unpacking.decompress(raw, info.file_size + 1)
    except zlib.error:
        _refuse(name, "it cannot be unpacked")
    if len(content) > info.file_size or not unpacking.eof or unpacking.unused_data:
        _refuse(name, "it unpacks to another size than it is said to have")
    return content

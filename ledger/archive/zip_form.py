"""The one form of an archive's zip: stored files one behind the other, every size and place in 64 bits.

Source: PKWARE APPNOTE 6.3, sections 4.3.7 (local header), 4.3.12 (central directory), 4.3.14 and 4.3.15 (its end in 64
bits), 4.3.16 (its end), 4.5.3 (sizes and place in 64 bits).
"""

import stat
import struct
from dataclasses import dataclass
from typing import Final

__all__ = ["LOCAL_BYTES", "LOCAL_SIGN", "NAME_MOST", "Member", "end_of", "listed", "local_header", "read_local"]

LOCAL_SIGN: Final = b"PK\x03\x04"
NAME_MOST: Final = 300
"""Bytes of a name; the longest that an archive has is a third of it."""

_LOCAL: Final = struct.Struct("<4s5H3I2H")
_LISTED: Final = struct.Struct("<4s6H3I5H2I")
_END: Final = struct.Struct("<4s4H2IH")
_FAR_END: Final = struct.Struct("<4sQ2H2I4Q")
_FAR_PLACE: Final = struct.Struct("<4sIQI")
_SIZES: Final = struct.Struct("<2H2Q")
_SIZES_AND_PLACE: Final = struct.Struct("<2H3Q")
LOCAL_BYTES: Final = _LOCAL.size

_VERSION: Final = 45
"""Needed to read sizes in 64 bits. Source: APPNOTE section 4.4.3.2."""
_WRITTEN: Final = (0, 0x21)
"""Time and day, 1 January 1980, 0:00, the first that there is: the same files give the same bytes."""
_ELSEWHERE: Final = 0xFFFF_FFFF
_MANY: Final = 0xFFFF
"""What stands where a number of 64 bits says it instead."""
_EXTRA: Final = 1
_UNIX: Final = 3
_PLAIN_FILE: Final = (stat.S_IFREG | 0o644) << 16


@dataclass(frozen=True, kw_only=True)
class Member:
    """One file of a zip: its whole name, its size and checksum, and where its header begins."""

    name: str
    size: int
    crc: int
    place: int


def local_header(name: str, size: int, crc: int) -> bytes:
    """What stands before a file."""
    spelled = name.encode("ascii")
    extra = _SIZES.pack(_EXTRA, _SIZES.size - 4, size, size)
    said = (_VERSION, 0, 0, *_WRITTEN, crc, _ELSEWHERE, _ELSEWHERE)
    return _LOCAL.pack(LOCAL_SIGN, *said, len(spelled), len(extra)) + spelled + extra


def read_local(head: bytes) -> tuple[int, int]:
    """How many bytes name and extra have behind the first ones of a header; the rest is held against the form later."""
    said = _LOCAL.unpack(head)
    return said[9], said[10]


def size_said(extra: bytes) -> int:
    """The size that a header's extra says; -1 where it says none in this form."""
    return int(_SIZES.unpack(extra)[2]) if len(extra) == _SIZES.size else -1


def crc_said(head: bytes) -> int:
    """The checksum that a header says."""
    return int(_LOCAL.unpack(head)[6])


def listed(member: Member) -> bytes:
    """How the list of files speaks of one."""
    spelled = member.name.encode("ascii")
    extra = _SIZES_AND_PLACE.pack(_EXTRA, _SIZES_AND_PLACE.size - 4, member.size, member.size, member.place)
    said = (_VERSION, 0, 0, *_WRITTEN, member.crc, _ELSEWHERE, _ELSEWHERE)
    by_unix = (len(spelled), len(extra), 0, 0, 0, _PLAIN_FILE, _ELSEWHERE)
    return _LISTED.pack(b"PK\x01\x02", _VERSION | _UNIX << 8, *said, *by_unix) + spelled + extra


def end_of(files: int, directory: int, place: int) -> bytes:
    """What stands behind the list of files: how many they are, how long the list is, and where it begins."""
    far = _FAR_END.pack(
        b"PK\x06\x06", _FAR_END.size - 12, _VERSION, _VERSION, 0, 0, files, files, directory, place
    ) + _FAR_PLACE.pack(b"PK\x06\x07", 0, place + directory, 1)
    return far + _END.pack(b"PK\x05\x06", 0, 0, _MANY, _MANY, _ELSEWHERE, _ELSEWHERE, 0)

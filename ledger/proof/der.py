"""DER, read strictly: as much of it as time stamps need.

One spelling for each value: lengths in their shortest form, numbers without idle octets, nothing behind the end.

Source: ITU-T X.690 (02/2021) sections 8 and 10.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from ledger.proof.report import MalformedError

__all__ = ["INTEGER", "OBJECT", "OCTETS", "SEQUENCE", "SET", "TIME", "Der", "read_der"]

INTEGER: Final = 0x02
OCTETS: Final = 0x04
OBJECT: Final = 0x06
TIME: Final = 0x18
SEQUENCE: Final = 0x30
SET: Final = 0x31
_MOST_LENGTH_OCTETS: Final = 4
_LONG: Final = 0x80
_MANY_OCTETS: Final = 0x1F
_WHEN: Final = re.compile(r"([0-9]{14})(?:\.([0-9]*[1-9]))?Z")


@dataclass(frozen=True)
class Der:
    """One value: its tag, its content, and all of it as it was written."""

    tag: int
    content: bytes
    whole: bytes

    def parts(self, tag: int = SEQUENCE) -> list["Der"]:
        """The values in a value of that tag.

        Raises: MalformedError.
        """
        self.need(tag)
        return list(_values(self.content))

    def need(self, tag: int) -> bytes:
        """The content of a value of that tag.

        Raises: MalformedError.
        """
        if self.tag != tag:
            raise _refused(f"it has {self.tag:#04x} where {tag:#04x} belongs")
        return self.content

    def number(self) -> int:
        """A whole number.

        Raises: MalformedError.
        """
        data = self.need(INTEGER)
        idle = len(data) > 1 and data[0] in (0x00, 0xFF) and (data[0] ^ data[1]) < _LONG
        if not data or idle:
            raise _refused("a number in it is not spelled as it must be")
        return int.from_bytes(data, "big", signed=True)

    def time(self) -> datetime:
        """A moment in UTC; parts of a microsecond are left out. Source: X.690 section 11.7.

        Raises: MalformedError.
        """
        found = _WHEN.fullmatch(self.need(TIME).decode("latin-1"))
        try:
            whole = datetime.strptime(f"{found[1]}+0000", "%Y%m%d%H%M%S%z") if found else None
        except ValueError:
            whole = None
        if found is None or whole is None:
            raise _refused("a time in it is not spelled as it must be")
        return whole.replace(microsecond=int((found[2] or "").ljust(6, "0")[:6]))


def read_der(data: bytes) -> Der:
    """The one value that these bytes are.

    Raises: MalformedError.
    """
    found = next(_values(data), None)
    if found is None or len(found.whole) != len(data):
        raise _refused("it is empty, or something stands behind its end")
    return found


def _values(data: bytes) -> Iterator[Der]:
    at = 0
    while at < len(data):
        begin, length, at = at, _length(data, at + 1), at + 2
        if data[begin] & _MANY_OCTETS == _MANY_OCTETS:
            raise _refused("a tag in it is longer than any that belongs there")
        at += data[begin + 1] & 0x7F if data[begin + 1] & _LONG else 0
        if at + length > len(data):
            raise _refused("it is cut off")
        yield Der(data[begin], data[at : at + length], data[begin : at + length])
        at += length


def _length(data: bytes, at: int) -> int:
    """How many octets follow. Source: X.690 sections 8.1.3 and 10.1."""
    first = data[at] if at < len(data) else _LONG
    if not first & _LONG:
        return first
    octets = data[at + 1 : at + 1 + (first & 0x7F)]
    length = int.from_bytes(octets, "big")
    short = length < _LONG or octets[:1] == b"\0"
    if not 0 < first & 0x7F <= _MOST_LENGTH_OCTETS or len(octets) != first & 0x7F or short:
        raise _refused("a length in it is not spelled as it must be")
    return length


def _refused(problem: str) -> MalformedError:
    return MalformedError(what="The time stamp", problem=problem, mend="Take the file again as its authority gave it.")

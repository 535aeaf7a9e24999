"""Verifier keys: the one thing that whoever checks a record needs to have from elsewhere, in one line of text.

Source: C2SP signed-note v1.0.0, "Verifier keys"; RFC 8032 section 5.1.
"""

import re
from base64 import b64decode, b64encode
from dataclasses import dataclass
from hashlib import sha256
from typing import Final, NoReturn

from ledger.proof.report import MalformedError

ED25519: Final = 0x01
COSIGNATURE: Final = 0x04
_KEY_BYTES: Final = 32
_KEY_ID_BYTES: Final = 4
_VKEY: Final = re.compile(r"([^+]+)\+([0-9a-f]{8})\+([A-Za-z0-9+/]+=*)")
_WHAT: Final = "The verifier key"

_PRIME: Final = 2**255 - 19
_ORDER_8: Final = int.from_bytes(
    bytes.fromhex("26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05"), "little"
)
_SMALL_ORDER: Final = frozenset({0, 1, _PRIME - 1, _ORDER_8, _PRIME - _ORDER_8})
"""The y of every point whose order divides 8. Under such a key one signature fits every text."""


@dataclass(frozen=True)
class VerifierKey:
    """A key that checks signatures, with the name it goes by; the id is made from name, type and key.

    Requires: an id that fits, and a point that is not of small order
    Raises: MalformedError.
    """

    name: str
    key_id: bytes
    public: bytes
    algorithm: int = ED25519

    def __post_init__(self) -> None:
        need_name(self.name)
        if self.algorithm not in (ED25519, COSIGNATURE):
            _refuse(f"type {self.algorithm:#04x} is not one of ours", "Types 0x01 and 0x04 can be checked.")
        _need_point(self.public)
        if self.key_id != _key_id(self.name, self.algorithm, self.public):
            _refuse("its id does not belong to its name and key", "Copy the whole line again.")

    @classmethod
    def of(cls, name: str, public: bytes, algorithm: int = ED25519) -> "VerifierKey":
        """The key under a name, with the id that belongs to it.

        Raises: MalformedError.
        """
        need_name(name)
        return cls(name, _key_id(name, algorithm & 0xFF, public), public, algorithm)

    @property
    def vkey(self) -> str:
        """The key as one line of text: name, id and key."""
        key = b64encode(bytes([self.algorithm]) + self.public).decode("ascii")
        return f"{self.name}+{self.key_id.hex()}+{key}"


def parse_vkey(text: str) -> VerifierKey:
    """The key that a line of text says.

    Raises: MalformedError.
    """
    found = _VKEY.fullmatch(text)
    if found is None:
        _refuse("it is not name+id+key", "Copy the whole line, without spaces around it.")
    name, key_id, encoded = found.groups()
    try:
        data = b64decode(encoded, validate=True)
    except ValueError:
        data = b""
    if len(data) != 1 + _KEY_BYTES:
        _refuse("its key is not 33 bytes in base64", "Copy the whole line again.")
    key = VerifierKey(name, bytes.fromhex(key_id), data[1:], data[0])
    if key.vkey != text:
        _refuse("it is not spelled as it must be", "Copy the whole line again.")
    return key


def need_name(name: str) -> None:
    """Refuse a name under which nobody can sign.

    Raises: MalformedError.
    """
    if not is_name(name):
        _refuse(f"{name[:40]!a} is no name for a key", "It is not empty and has neither space nor plus sign.")


def is_name(name: str) -> bool:
    """Whether somebody can sign under a name. Source: C2SP signed-note, "Format"."""
    bad = any(letter.isspace() or letter == "+" or letter < " " or "\ud800" <= letter <= "\udfff" for letter in name)
    return bool(name) and not bad


def _key_id(name: str, algorithm: int, public: bytes) -> bytes:
    return sha256(name.encode("utf-8") + b"\n" + bytes([algorithm]) + public).digest()[:_KEY_ID_BYTES]


def _need_point(public: bytes) -> None:
    if len(public) != _KEY_BYTES:
        _refuse(f"it has {len(public)} bytes", f"It has {_KEY_BYTES}.")
    # The top bit is the sign of x; a y that is not below the prime is a second spelling of a smaller one.
    y = int.from_bytes(public, "little") & (2**255 - 1)
    if y % _PRIME in _SMALL_ORDER:
        _refuse("it is of small order, so that one signature fits every text", "It was made to deceive: refuse it.")
    if y >= _PRIME:
        _refuse("it is not spelled as it must be", "Copy the whole line again.")


def _refuse(problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=_WHAT, problem=problem, mend=mend)

"""Reads plain data of a known shape: every name that belongs there, no other, and each of its kind."""

from base64 import b64decode, b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NoReturn

from ledger.proof.canonical import Plain
from ledger.proof.report import MalformedError

__all__ = ["Shapes", "base64_of"]


@dataclass(frozen=True)
class Shapes:
    """Readers of values; `what` is the thing read, as a refusal names it. All raise MalformedError."""

    what: str

    def refuse(self, where: str, problem: str, mend: str) -> NoReturn:
        """It is not of its shape."""
        raise MalformedError(what=self.what, where=where, problem=problem, mend=mend)

    def members(self, value: Plain, where: str, needed: Sequence[str], allowed: Sequence[str] = ()) -> dict[str, Plain]:
        """An object that has all that is needed and nothing beyond what is allowed."""
        mend = f"It has the names {', '.join(needed)}."
        if not isinstance(value, dict):
            self.refuse(where, "it is no object with names", mend)
        for name in needed:
            if name not in value:
                self.refuse(where, f"the name {name} is missing", mend)
        for name in value:
            if name not in needed and name not in allowed:
                self.refuse(where, f"the name {name[:40]!a} does not belong here", mend)
        return value

    def list(self, value: Plain, where: str) -> list[Plain]:
        """A list, perhaps an empty one."""
        if not isinstance(value, list):
            self.refuse(where, "it is no list", "It is a list, if only an empty one.")
        return value

    def text(self, value: Plain, where: str) -> str:
        """A string."""
        if not isinstance(value, str):
            self.refuse(where, "it is no text", "It is a string.")
        return value

    def texts(self, value: Plain, where: str) -> tuple[str, ...]:
        """A list of strings."""
        return tuple(self.text(each, f"{where}[{place}]") for place, each in enumerate(self.list(value, where)))

    def number(self, value: Plain, where: str) -> int:
        """A whole number from 0 upwards."""
        if isinstance(value, bool) or not isinstance(value, int) or value < 0:
            self.refuse(where, "it is no number from 0 upwards", "It is a whole number.")
        return value

    def flag(self, value: Plain, where: str) -> bool:
        """True or false."""
        if not isinstance(value, bool):
            self.refuse(where, "it is neither true nor false", "It is one of the two.")
        return value

    def hashes(self, value: Plain, where: str) -> tuple[bytes, ...]:
        """A list of bytes."""
        return tuple(self.bytes(each, f"{where}[{place}]") for place, each in enumerate(self.list(value, where)))

    def bytes(self, value: Plain, where: str) -> bytes:
        """Bytes in their one spelling; never none at all."""
        text = self.text(value, where)
        try:
            data = b64decode(text, validate=True)
        except ValueError:
            data = b""
        if not data or b64encode(data).decode("ascii") != text:
            self.refuse(where, "it is not base64", "Standard base64, with its padding.")
        return data


def base64_of(each: Sequence[bytes]) -> list[Plain]:
    """Bytes as they are spelled in JSON."""
    return [b64encode(data).decode("ascii") for data in each]

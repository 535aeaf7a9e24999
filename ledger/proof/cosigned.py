"""What one person cosigned last, of each ledger: the file that keeps them from cosigning two histories."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from ledger.proof.canonical import Plain, encode, read
from ledger.proof.shapes import Shapes
from ledger.proof.signature import VerifierKey, parse_vkey

__all__ = ["Cosigned", "Seen"]

FORMAT: Final = "slipsheet-cosigned/1"
_READ: Final = Shapes("The file of what was cosigned")


@dataclass(frozen=True, kw_only=True)
class Seen:
    """Of one ledger: the note cosigned last, None before the first; and the keys of its owner."""

    note: str | None = None
    keys: tuple[VerifierKey, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Cosigned:
    """What was cosigned with one key, by the origin of the ledger."""

    ledgers: Mapping[str, Seen] = field(default_factory=dict)

    def of(self, origin: str) -> Seen:
        """What is known of that ledger."""
        return self.ledgers.get(origin, Seen())

    def with_one(self, origin: str, seen: Seen) -> "Cosigned":
        """The same with another state of one ledger."""
        return replace(self, ledgers={**self.ledgers, origin: seen})

    def to_bytes(self) -> bytes:
        """The file."""
        ledgers: dict[str, Plain] = {
            origin: {"note": seen.note, "keys": [key.vkey for key in seen.keys]}
            for origin, seen in self.ledgers.items()
        }
        return encode({"format": FORMAT, "ledgers": ledgers}, what=_READ.what) + b"\n"

    @classmethod
    def from_bytes(cls, data: bytes) -> "Cosigned":
        """What a file says.

        Raises: MalformedError.
        """
        said = _READ.members(read(data.removesuffix(b"\n"), what=_READ.what), "", ("format", "ledgers"))
        if said["format"] != FORMAT:
            _READ.refuse("format", f"this program reads {FORMAT}", "Read it with the program that wrote it.")
        ledgers = said["ledgers"]
        if not isinstance(ledgers, dict):
            _READ.refuse("ledgers", "they are not by origin", "Put the file back from your copy.")
        found = {}
        for origin, each in ledgers.items():
            one = _READ.members(each, origin, ("note", "keys"))
            note = one["note"]
            keys = tuple(parse_vkey(text) for text in _READ.texts(one["keys"], f"{origin}.keys"))
            found[origin] = Seen(note=None if note is None else _READ.text(note, f"{origin}.note"), keys=keys)
        return cls(ledgers=found)

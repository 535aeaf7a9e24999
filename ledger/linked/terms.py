"""The words of Linked Art that a book is told in, and the small nodes that all of it is made of.

Source: Linked Art 1.0, model and context document; types by their numbers in the Art & Architecture Thesaurus as the
Linked Art list of terms has them. What that thesaurus has no number for is named under an address of our own, which leads
nowhere.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC
from typing import Any, Final
from urllib.parse import quote

from ledger.money import Money
from ledger.proof.checkpoint import origin_of
from ledger.sealed import Sealed
from ledger.when import When

__all__ = ["CONTEXT", "Address", "Node", "aat", "amount", "body", "described", "identifier", "own", "span", "titled"]

CONTEXT: Final = "https://linked.art/ns/v1/linked-art.json"
_AAT: Final = "http://vocab.getty.edu/aat/"
_OWN: Final = "https://slipsheet.invalid/terms/"

Node = dict[str, Any]

_TERMS: Final[Mapping[str, tuple[str, str]]] = {
    "collection item": ("300404024", "Collection Item"),
    "primary name": ("300404670", "Primary Name"),
    "accession number": ("300312355", "Accession Number"),
    "description": ("300435416", "Description"),
    "provenance": ("300055863", "Provenance Activity"),
    "publishing": ("300054686", "Publishing"),
    "height": ("300055644", "Height"),
    "width": ("300055647", "Width"),
    "thickness": ("300055646", "Thickness"),
    "weight": ("300056240", "Weight"),
    "mm": ("300379097", "millimeters"),
    "g": ("300379225", "grams"),
}


@dataclass(frozen=True, kw_only=True)
class Address:
    """How the nodes of one book are named, under the collection's origin, at which nothing is ever looked up."""

    collection: str
    book: str

    @property
    def home(self) -> str:
        """Before every name of this collection."""
        return f"https://{origin_of(self.collection)}"

    @property
    def of_book(self) -> str:
        """The book itself."""
        return f"{self.home}/books/{self.book}"

    def entry(self, seq: int) -> str:
        """What an entry tells."""
        return f"{self.home}/entries/{seq}"

    @property
    def it(self) -> Node:
        """The book where another node speaks of it."""
        return {"id": self.of_book, "type": "HumanMadeObject"}

    @property
    def owner(self) -> Node:
        """Whose collection it is; no name is told."""
        return {"id": f"{self.home}/owner", "type": "Person", "_label": "The owner of the collection"}


def aat(name: str, kind: str = "Type") -> Node:
    """A term of the thesaurus by our word for it."""
    number, label = _TERMS[name]
    return {"id": _AAT + number, "type": kind, "_label": label}


def own(group: str, name: str, label: str, kind: str = "Type") -> Node:
    """A term that the thesaurus lacks."""
    return {"id": f"{_OWN}{quote(group)}/{quote(name, safe='')}", "type": kind, "_label": label}


def titled(content: str) -> Node:
    """The name that a thing is mostly called by."""
    return {"type": "Name", "content": content, "classified_as": [aat("primary name")]}


def identifier(content: str, term: Node) -> Node:
    """A number or code that a thing has."""
    return {"type": "Identifier", "content": content, "classified_as": [term]}


def described(*sentences: str) -> Node:
    """Sentences about a node; nothing where there are none."""
    said = " ".join(each for each in sentences if each)
    if not said:
        return {}
    return {"referred_to_by": [{"type": "LinguisticObject", "content": said, "classified_as": [aat("description")]}]}


def span(on: When | None) -> Node:
    """When it happened, between its outermost bounds; nothing where that is not known.

    A bare day may have been any place's, so its bounds are as wide as the time zones make it.
    """
    if on is None:
        return {}
    first, last = (each.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z") for each in on.span())
    return {"timespan": {"type": "TimeSpan", "_label": on.text, "begin_of_the_begin": first, "end_of_the_end": last}}


def body(name: Sealed[str], kind: str = "Person") -> list[Node]:
    """Somebody whose name is sealed: told where it is open here, and left out where it is not."""
    return [{"type": kind, "_label": name.value}] if name.value else []


def amount(money: Sealed[Money]) -> Node | None:
    """An amount that is sealed: None where it is not open here, or empty."""
    if money.value is None:
        return None
    code = money.value.currency
    return {
        "type": "MonetaryAmount",
        "value": float(money.value.amount),
        "currency": own("currency", code, code, "Currency"),
    }

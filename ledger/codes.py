"""Codes that a camera reads: a text as squares, dark on light."""

from dataclasses import dataclass
from typing import Protocol

__all__ = ["Code", "Codes"]


@dataclass(frozen=True, kw_only=True)
class Code:
    """One code as it is drawn: a light square with dark squares on it."""

    side: int
    """Squares along an edge, with the light ones around it that a reader needs."""
    path: str
    """The dark squares as the path of a drawing. Units: squares, from the upper left corner."""


class Codes(Protocol):
    """Texts as codes; the same text gives the same code. MalformedError for a text that is too long for one."""

    def drawn(self, text: str) -> Code:
        """The code as a drawing."""
        ...

    def in_words(self, text: str) -> str:
        """The code in block characters, for a terminal that writes light on dark."""
        ...

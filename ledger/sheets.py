"""Sheets of paper as PDF."""

from collections.abc import Mapping
from datetime import datetime
from typing import Protocol

from ledger.proof.canonical import Plain

__all__ = ["Sheets"]


class Sheets(Protocol):
    """Makes them; the same source, data and pictures give the same bytes. ConflictError where it is not at hand.

    With `attaches` the source may take files into the PDF, to be taken out again.
    """

    @property
    def at_hand(self) -> bool:
        """Whether a PDF can be made."""
        ...

    def pdf(
        self,
        source: str,
        data: Mapping[str, Plain],
        pictures: Mapping[str, bytes],
        made: datetime,
        *,
        attaches: bool = False,
    ) -> bytes:
        """The sheet, dated with that moment; the source finds the pictures under their names."""
        ...

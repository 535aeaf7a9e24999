"""What a line over a column says: which field it is, in which currency its amounts are, in which order its days."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal, cast

from ledger.importing.fields import AMOUNTS, DAYS, named
from ledger.importing.loose_amounts import codes_named

__all__ = ["Head", "read_head"]

_BRACKETED: Final = re.compile(r"(?P<bare>[^()\[\]]*[^()\[\]\s])\s*[(\[]\s*(?:in\s+)?(?P<more>[^()\[\]]*?)\s*[)\]]\W*")
_IN: Final = re.compile(r"(?P<bare>.*\S)\s+in\s+(?P<more>.+)", re.IGNORECASE)
_BEHIND: Final = re.compile(r"(?P<bare>.*?[^\s,;:/-])(?:\s*[,;:/-]\s*|\s+)(?P<more>\S+)")
_BEFORE: Final = re.compile(r"(?P<more>\S+)\s+(?P<bare>.+)")
_NO_MATTER: Final = frozenset({"s", "es", "optional", "if any", "if known", "if graded", "if slabbed", "each"})
"""Words in brackets that say nothing of what the column is. Source: common practice, no source."""
_PART: Final = re.compile(r"d(?:ay|d)?|m(?:onth|on|mm?)?|y(?:ear|yyy|y)?", re.IGNORECASE)
_APART: Final = re.compile(r"\s*[./ -]\s*")


@dataclass(frozen=True, kw_only=True)
class Head:
    """A line over a column as it is read; what it does not say is None or empty."""

    field: str | None = None
    currencies: tuple[str, ...] = ()
    """Of amounts that name none themselves: the one, or those of which it is one; empty where it does not say."""
    order: Literal["dmy", "mdy", "ymd"] | None = None
    """Of days that can be read in two ways."""

    def currency(self, usual: str | None) -> str | None:
        """The one of its amounts; `usual` is that of the whole file, which counts where it may be meant here."""
        if len(self.currencies) == 1:
            return self.currencies[0]
        return usual if not self.currencies or usual in self.currencies else None


def read_head(head: str) -> Head:
    """What it says; of words that may stand beside a name, only a currency, an order of days and what does not matter."""
    if (field := named(head)) is not None:
        return Head(field=field)
    for bare, more in _parted(head.strip(" :*?")):
        field = named(bare)
        if field is None:
            continue
        if field in AMOUNTS and (codes := codes_named(more)):
            return Head(field=field, currencies=codes)
        if field in DAYS and (order := _order(more)) is not None:
            return Head(field=field, order=order)
        if more.casefold() in _NO_MATTER:
            return Head(field=field)
    return Head()


def _parted(head: str) -> Iterator[tuple[str, str]]:
    """A line without its end or its beginning, and those."""
    for form in (_BRACKETED, _IN):
        if (found := form.fullmatch(head)) is not None:
            yield found["bare"], found["more"]
            return
    for form in (_BEHIND, _BEFORE):
        # Small letters are words of people: all, top and try are currencies too.
        if (found := form.fullmatch(head)) is not None and not (found["more"].isalpha() and found["more"].islower()):
            yield found["bare"], found["more"]


def _order(words: str) -> Literal["dmy", "mdy", "ymd"] | None:
    parts = _APART.split(words)
    order = "".join(part[:1].casefold() for part in parts if _PART.fullmatch(part))
    is_order = len(order) == len(parts) and order in ("dmy", "mdy", "ymd")
    return cast("Literal['dmy', 'mdy', 'ymd']", order) if is_order else None

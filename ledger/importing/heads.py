"""What a line over a column says: which field it is, in which currency its amounts are, in which order its days."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from ledger.importing.cells import unread
from ledger.importing.fields import AMOUNTS, DAYS, named
from ledger.importing.loose_amounts import CODE, by_sign, codes_named

__all__ = ["Head", "read_head"]

_BRACKETED: Final = re.compile(r"(?P<bare>[^()\[\]]*[^()\[\]\s])\s*[(\[]\s*(?:in\s+)?(?P<more>[^()\[\]]*?)\s*[)\]]\W*")
_IN: Final = re.compile(r"(?P<bare>.*\S)\s+in\s+(?P<more>.+)", re.IGNORECASE)
_BEHIND: Final = re.compile(r"(?P<bare>.*?[^\s,;:/-])(?:\s*[,;:/-]\s*|\s+)(?P<more>\S+)")
_BEFORE: Final = re.compile(r"(?P<more>\S+)\s+(?P<bare>.+)")
_LONGEST: Final = 100
"""Characters of a line that can name a field; a longer one could keep a reader busy. Our assumption."""
_IF_GRADED: Final = frozenset({"if graded", "if slabbed"})
_YES_OR_NO: Final = frozenset({"y/n", "yes/no", "yes or no", "y or n"})
_ANSWERED: Final = ("here", "gone", "holding")
_NO_MATTER: Final = frozenset({"s", "es", "optional", "if any", "if known"})
"""Words in brackets that say nothing of what the column is. Source: common practice, no source."""
_NO_MATTER_OF: Final[Mapping[str, frozenset[str]]] = {
    **dict.fromkeys(AMOUNTS, frozenset({"each"})),
    **dict.fromkeys(DAYS, frozenset({"date", "when"})),
    **dict.fromkeys(("grade", "stated_by", "holder_number"), _IF_GRADED),
    "gone": frozenset({"date", "when", "price", "to", "if sold"}),
    "title": frozenset({"year", "start year", "vol", "vol.", "volume"}),
}
"""The same of one field: what a book would be worth if it were graded is no value of it. Source: as above."""
_SOLD: Final = re.compile(r"\b(?:sold|sale|sales|sell|selling)\b", re.IGNORECASE)
_PART: Final = re.compile(r"d(?:ay|d)?|m(?:onth|on|m{1,3})?|y(?:ear|yyy|y)?", re.IGNORECASE)
_APART: Final = re.compile(r"\s*[./ -]\s*")
_IN_ONE: Final = re.compile(r"(d{1,2}|m{1,2}|y{1,4})(d{1,2}|m{1,2})(d{1,2}|m{1,2}|y{1,4})", re.IGNORECASE)
_ORDERS: Final[Mapping[str, Literal["dmy", "mdy", "ymd"]]] = {"dmy": "dmy", "mdy": "mdy", "ymd": "ymd"}
_PARTLY: Final = re.compile(
    r"y(?:ear|yyy)|m(?:onth|on|m{1,3})[./ -]y(?:ear|yyy)|y(?:ear|yyy)[./ -]m(?:onth|on|m{1,3})", re.IGNORECASE
)
"""A day in part, its year in full: of two numbers alone nobody knows that one is a year."""
_WORDS_TOO: Final = frozenset(
    {"all", "bam", "bob", "cop", "cup", "esp", "gel", "mad", "mop", "pen", "ron", "rub", "sit", "sos", "std", "top"}
    | {"try"}
)
"""Codes of currencies that are words or names of people too."""


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

    def of_row(self, name: str, text: str, code: str | None) -> str | None:
        """The currency that a row names, where it counts for this amount; None where what is over the column does.

        Raises: MalformedError, where the two are not the same and it is not known which of them was paid.
        """
        if code is None or not self.currencies or code in self.currencies:
            return code
        if name == "value" or CODE.search(text) or by_sign(text) is not None:
            return None
        said = self.currencies[0] if len(self.currencies) == 1 else "another currency"
        problem = f"{text} is in {said} by the line over the column and in {code} by its row"
        raise unread(text, problem, f"Write its three letters beside it, like {text} {code}.")


def read_head(head: str) -> Head:
    """What it says; of words that may stand beside a name, only a currency, an order of days and what does not matter."""
    if len(head) > _LONGEST:
        return Head()
    head = " ".join(head.split())
    if (field := named(head)) is not None:
        return Head(field=field)
    for form, bare, more in _parted(head.strip(" :*?")):
        if (field := named(bare)) is None:
            continue
        if (found := _beside(field, bare, more)) is not None:
            return found
        words = more.casefold()
        is_no_matter = form is _BRACKETED and words in _NO_MATTER | _NO_MATTER_OF.get(field, frozenset())
        if is_no_matter or (words in _YES_OR_NO and field in _ANSWERED):
            return Head(field=field)
    return Head()


def _beside(field: str, bare: str, more: str) -> Head | None:
    """What these words beside the name of a field say of its amounts or days; None where they say nothing of them."""
    codes, order = _codes(bare, more), _order(more)
    if field in AMOUNTS and codes:
        return Head(field=field, currencies=codes)
    if field in DAYS and order:
        return Head(field=field, order=_ORDERS.get(order))
    # A sale is one in whatever currency, and however its day is written.
    is_day = bool(order) or all(map(_PART.fullmatch, _APART.split(more)))
    return Head(field=field) if field == "gone" and _SOLD.search(bare) and (codes or is_day) else None


def _parted(head: str) -> Iterator[tuple[re.Pattern[str], str, str]]:
    """A line without its end or its beginning, and those."""
    for form in (_BRACKETED, _IN):
        if (found := form.fullmatch(head)) is not None:
            yield form, found["bare"], found["more"]
            return
    for form in (_BEHIND, _BEFORE):
        if (found := form.fullmatch(head)) is not None:
            yield form, found["bare"], found["more"]


def _codes(bare: str, more: str) -> tuple[str, ...]:
    # All, top and try are currencies too, where they alone stand in capital letters.
    is_word = more.casefold() in _WORDS_TOO and not (more.isupper() and any(map(str.islower, bare)))
    return () if is_word else codes_named(more)


def _order(words: str) -> str:
    """The first letters of what makes up a day, in their order; empty where the words are none of that."""
    if _PARTLY.fullmatch(words):
        return "y"
    parts = _APART.split(words)
    if (found := _IN_ONE.fullmatch(words)) is not None:
        parts = list(found.groups())
    order = "".join(part[:1].casefold() for part in parts if _PART.fullmatch(part))
    return order if len(order) == len(parts) and order in _ORDERS else ""

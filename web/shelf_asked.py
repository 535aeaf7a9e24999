"""What the address of the collection's page asks for, read; and the addresses of its other pages and orders."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final
from urllib.parse import urlencode

from fastapi.datastructures import QueryParams

from ledger.rules.grades import grades
from ledger.views import NOTHING, ShelfQuery
from web.frame import Place

__all__ = ["DESCENDS", "NONE", "SORTS", "YES", "Asked"]

PATH: Final = Place.COLLECTION.path
YES: Final = "yes"
NONE: Final = "none"
"""Among the headings: no work was done here."""
TEXT_MOST: Final = 200
SORTS: Final = ("title", "number", "grade", "recent")
DESCENDS: Final = frozenset({"grade", "recent"})
"""Orders in which most people ask for the greatest or the latest first."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """The list that is asked for; what cannot be read asks for nothing.

    Keeps: one list has one address.
    """

    q: str = ""
    place: tuple[str, ...] = ()
    unnamed: bool = False
    """Books that are here, in a place that has no name, or in none."""
    holding: tuple[str, ...] = ()
    heading: tuple[str, ...] = ()
    status: tuple[str, ...] = ()
    bench: bool = False
    left: bool = False
    """Books that have left, and those that turned out to be another book here, are in the list too."""
    low: str = ""
    high: str = ""
    sort: str = "title"
    descending: bool = False
    after: str = ""

    @classmethod
    def read(cls, given: QueryParams) -> "Asked":
        """From an address."""
        sort = given.get("sort", "title")
        return cls(
            q=given.get("q", "")[:TEXT_MOST].strip(),
            place=_several(given, "place"),
            unnamed=given.get("unnamed") == YES,
            holding=_several(given, "holding"),
            heading=_several(given, "heading"),
            status=_several(given, "status"),
            bench=given.get("bench") == YES,
            left=given.get("left") == YES,
            low=_grade(given, "low"),
            high=_grade(given, "high"),
            sort=sort if sort in SORTS else "title",
            descending=given.get("down") == YES,
            after=given.get("after", ""),
        )

    @property
    def narrows(self) -> bool:
        """It leaves books out that would otherwise be in the list."""
        return replace(self, left=False, sort="title", descending=False, after="") != Asked()

    @property
    def narrows_beside_words(self) -> bool:
        """Something but words leaves books out, so the questions stand open where they may be folded."""
        return replace(self, q="").narrows

    @property
    def counts_itself(self) -> bool:
        """How many books it finds is known from counts of the whole collection."""
        return not (self.q or self.place or self.unnamed or self.low or self.high)

    def query(self) -> ShelfQuery:
        """The same for the store."""
        steps = _steps()
        return ShelfQuery(
            text=self.q or None,
            kept=None if self.left or self.status else True,
            statuses=self.status,
            holdings=self.holding,
            headings=tuple(NOTHING if each == NONE else each for each in self.heading),
            places=(*self.place, *((NOTHING,) if self.unnamed else ())),
            on_bench=True if self.bench else None,
            grade_from=steps.get(self.low),
            grade_to=steps.get(self.high),
            sort=self.sort,
            descending=self.descending,
            after=self.after or None,
        )

    def sorted_by(self, sort: str) -> str:
        """The address of the same books in another order, or in this order the other way round."""
        down = not self.descending if sort == self.sort else sort in DESCENDS
        return replace(self, sort=sort, descending=down, after="").address

    def from_start(self) -> str:
        """The address of the first page."""
        return replace(self, after="").address

    def onward(self, after: str) -> str:
        """The address of the page behind that cursor."""
        return replace(self, after=after).address

    @property
    def address(self) -> str:
        """Its own address."""
        return self.at(PATH)

    def at(self, path: str) -> str:
        """The address of another page of the same books."""
        text = urlencode(list(self._pairs()))
        return f"{path}?{text}" if text else path

    def _pairs(self) -> Sequence[tuple[str, str]]:
        single: Mapping[str, str] = {
            "q": self.q,
            "unnamed": YES if self.unnamed else "",
            "low": self.low,
            "high": self.high,
            "bench": YES if self.bench else "",
            "left": YES if self.left else "",
            "sort": "" if self.sort == "title" else self.sort,
            "down": YES if self.descending else "",
            "after": self.after,
        }
        several = [(name, each) for name in ("place", "holding", "heading", "status") for each in getattr(self, name)]
        return [*several, *((name, value) for name, value in single.items() if value)]


def _several(given: QueryParams, name: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each[:TEXT_MOST] for each in given.getlist(name) if each))


def _grade(given: QueryParams, name: str) -> str:
    text = given.get(name, "")
    return text if text in _steps() else ""


@cache
def _steps() -> Mapping[str, int]:
    return {grade.text: grade.step for grade in grades()}

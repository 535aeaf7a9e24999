"""Who hangs when: a plan for so many spots and books that makes the largest share of a fade dose as small as it can.

Light adds up, so a book's share after the plan is its share before, and for every period it hangs the light of its spot
over that period, divided by its own dose to a just noticeable fade. Every spot is filled in every period: an empty wall
would always be the best plan. What a book took before it was counted here is not known and stays out of the share.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from ledger.errors import Problem

__all__ = [
    "BOOKS_MOST",
    "PERIODS_MOST",
    "SPOTS_MOST",
    "Hanging",
    "Rows",
    "Spot",
    "Wish",
    "breaches",
    "days_hung",
    "flaws_of_wish",
    "lux_hours_hung",
    "shares",
]

SPOTS_MOST: Final = 20
BOOKS_MOST: Final = 60
PERIODS_MOST: Final = 60

Rows = tuple[tuple[str, ...], ...]
"""Period after period, the book at each spot, in the order of the spots."""


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A spot on a wall, and the light that falls there."""

    id: str
    a_day: Fraction
    """Light of a day, on and off hours together. Units: lx h."""


@dataclass(frozen=True, kw_only=True)
class Hanging:
    """A book that may hang, and what is asked of it."""

    id: str
    fade: Fraction | None
    """Dose to a just noticeable fade; None where light does it nothing. Units: lx h."""
    at: Mapping[str, Fraction] = field(default_factory=dict)
    """The dose at spots where it is another one, since ultraviolet is filtered out there. Units: lx h."""
    share: Fraction = Fraction(0)
    """What of it is used up as far as it was counted; what came before is not in it."""
    always: bool = False
    """It hangs in every period."""
    pinned: str | None = None
    """The one spot where it may hang."""
    most_days: int | None = None
    """Days it may hang in the whole plan."""
    most_lux_hours: Fraction | None = None
    """Light it may take in the whole plan. Units: lx h."""

    def dose(self, spot: str) -> Fraction | None:
        """The dose that counts at a spot; None where light does it nothing. Units: lx h."""
        return self.at.get(spot, self.fade)


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What a plan is to be made of."""

    spots: tuple[Spot, ...]
    books: tuple[Hanging, ...]
    periods: tuple[int, ...]
    """Units: days each."""
    apart: tuple[tuple[str, str], ...] = ()
    """Books that never hang together."""

    def book(self, own: str) -> Hanging | None:
        """The book of that id."""
        return next((each for each in self.books if each.id == own), None)


def flaws_of_wish(wish: Wish) -> Iterator[Problem]:
    """What keeps any plan from being made, each with the mend.

    Keeps: a wish without a flaw may still have no plan, which a search tells.
    """
    for name, found, most in (
        ("spots", len(wish.spots), SPOTS_MOST),
        ("books", len(wish.books), BOOKS_MOST),
        ("periods", len(wish.periods), PERIODS_MOST),
    ):
        if not 0 < found <= most:
            yield Problem(field=name, sentence=f"A plan has 1 to {most} {name}. This has {found}.")
    yield from _named_once("spots", [each.id for each in wish.spots])
    yield from _named_once("books", [each.id for each in wish.books])
    for place, spot in enumerate(wish.spots):
        if spot.a_day < 0:
            yield Problem(field=f"spots.{place}.a_day", sentence="Light is not less than nothing. Measure it.")
    for place, days in enumerate(wish.periods):
        if days < 1:
            yield Problem(field=f"periods.{place}", sentence="A period lasts a day at least. Give its days.")
    if len(wish.books) < len(wish.spots):
        sentence = (
            f"{len(wish.spots)} spots cannot be filled with {len(wish.books)} books. Add books, or leave spots out."
        )
        yield Problem(field="books", sentence=sentence)
    yield from _flaws_of_books(wish)


def _flaws_of_books(wish: Wish) -> Iterator[Problem]:
    spots, books = {each.id for each in wish.spots}, {each.id for each in wish.books}
    always = [each for each in wish.books if each.always]
    if len(always) > len(wish.spots):
        sentence = f"{len(always)} books are to be always visible, on {len(wish.spots)} spots. Let some take turns."
        yield Problem(field="books", sentence=sentence)
    for place, book in enumerate(wish.books):
        where = f"books.{place}"
        if any(dose <= 0 for dose in (*book.at.values(), *(() if book.fade is None else (book.fade,)))):
            yield Problem(
                field=f"{where}.fade", sentence="A dose to a fade is more than nothing. Give it in lux hours."
            )
        if book.share < 0:
            yield Problem(field=f"{where}.share", sentence="A share is not less than nothing. Check it.")
        if book.pinned is not None and book.pinned not in spots:
            yield Problem(field=f"{where}.pinned", sentence=f"There is no spot {book.pinned}. Name one of the plan's.")
        if any(book.always and book.pinned == each.pinned is not None for each in always if each is not book):
            sentence = f"Two books are to hang at {book.pinned} always. Let them take turns, or give one another spot."
            yield Problem(field=f"{where}.pinned", sentence=sentence)
    for place, pair in enumerate(wish.apart):
        if len(set(pair)) < len(pair) or not books >= set(pair):
            sentence = "Two different books of the plan are kept apart. Name both."
            yield Problem(field=f"apart.{place}", sentence=sentence)
        elif set(pair) <= {each.id for each in always}:
            sentence = "Both are to be always visible, and never together. Give up one of the two."
            yield Problem(field=f"apart.{place}", sentence=sentence)


def _named_once(field: str, ids: Sequence[str]) -> Iterator[Problem]:
    for place, each in enumerate(ids):
        if each in ids[:place]:
            yield Problem(field=f"{field}.{place}.id", sentence=f"{each} stands here twice. Name it once.")


def lux_hours_hung(wish: Wish, rows: Rows) -> Mapping[str, Fraction]:
    """The light each book takes in the plan.

    Units: lx h
    Source: lux hours add up (reciprocity), as in CIE 157:2004.
    """
    found = {each.id: Fraction(0) for each in wish.books}
    for days, row in zip(wish.periods, rows, strict=True):
        for spot, book in zip(wish.spots, row, strict=True):
            found[book] += spot.a_day * days
    return found


def days_hung(wish: Wish, rows: Rows) -> Mapping[str, int]:
    """The days each book hangs in the plan."""
    return {
        book.id: sum(days for days, row in zip(wish.periods, rows, strict=True) if book.id in row)
        for book in wish.books
    }


def shares(wish: Wish, rows: Rows) -> Mapping[str, Fraction]:
    """Each book's share of its own fade dose at the end of the plan, as far as light was counted.

    Source: share = lux hours / dose to a just noticeable fade; light adds up (reciprocity).
    """
    found = {each.id: each.share for each in wish.books}
    books = {each.id: each for each in wish.books}
    for days, row in zip(wish.periods, rows, strict=True):
        for spot, book in zip(wish.spots, row, strict=True):
            dose = books[book].dose(spot.id)
            found[book] += Fraction(0) if dose is None else spot.a_day * days / dose
    return found


def breaches(wish: Wish, rows: Rows) -> Iterator[Problem]:
    """What a plan does against the wish; nothing of a plan that keeps it.

    Requires: the wish has no flaw
    """
    known = {each.id for each in wish.books}
    if len(rows) != len(wish.periods) or any(len(row) != len(wish.spots) for row in rows):
        yield Problem(field="rows", sentence="Every period names one book for every spot. Fill the gaps.")
        return
    for place, row in enumerate(rows):
        if strangers := [each for each in row if each not in known]:
            yield Problem(field=f"rows.{place}", sentence=f"{strangers[0]} is not a book of this plan. Choose another.")
            return
        yield from _row_breaches(wish, place, row)
    days, taken = days_hung(wish, rows), lux_hours_hung(wish, rows)
    for each in wish.books:
        if each.most_days is not None and days[each.id] > each.most_days:
            sentence = f"It hangs {days[each.id]} days, and {each.most_days} are allowed. Take it down sooner."
            yield Problem(field=f"books.{each.id}", sentence=sentence)
        if each.most_lux_hours is not None and taken[each.id] > each.most_lux_hours:
            sentence = "It takes more light than its limit allows. Hang it darker, or for less time."
            yield Problem(field=f"books.{each.id}", sentence=sentence)


def _row_breaches(wish: Wish, place: int, row: Sequence[str]) -> Iterator[Problem]:
    where = f"rows.{place}"
    if len(set(row)) < len(row):
        yield Problem(field=where, sentence="A book would hang at two spots at once. Choose another for one.")
    for book in wish.books:
        if book.always and book.id not in row:
            yield Problem(field=where, sentence="A book that is to be always visible is missing. Hang it too.")
        if book.pinned is not None and book.id in row and wish.spots[row.index(book.id)].id != book.pinned:
            yield Problem(field=where, sentence=f"A book may hang at {book.pinned} only. Put it there, or change that.")
    if any(first in row and second in row for first, second in wish.apart):
        yield Problem(field=where, sentence="Two books that never hang together would. Exchange one of them.")

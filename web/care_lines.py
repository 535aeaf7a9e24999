"""What care is due, in words: what is to be done, from which day, counted from what, and what to tap for it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from ledger.care_due import Care, CareDue
from ledger.events.placement import Placement
from ledger.usecases.care import DueOf
from ledger.views import ShelfRow
from ledger.when import When
from web.wording import t

__all__ = ["SOON_DAYS", "CareLine", "Shelved", "care_lines", "named", "shelved"]

SOON_DAYS: Final = 60
"""What is due within these days is shown as coming. Our assumption."""
_LOOKS: Final = frozenset({Care.LOOK, Care.BEFORE, Care.AFTER_MOVE, Care.AFTER_WORK, Care.AFTER_TRIP})


@dataclass(frozen=True, kw_only=True)
class CareLine:
    """One thing that is due."""

    book: str
    name: str
    where: str
    what: str
    when: str
    since: str
    overdue: bool
    count: bool
    """It is done with by a count."""
    href: str
    """Where it is done otherwise; empty where only a count does it."""
    do: str
    """What that is called."""


@dataclass(frozen=True, kw_only=True)
class Shelved:
    """One book that may be counted."""

    book: str
    name: str
    where: str
    ticked: bool


def care_lines(
    dues: Sequence[DueOf], today: date, may: Callable[[str], bool]
) -> tuple[tuple[CareLine, ...], tuple[CareLine, ...], int]:
    """What is due now, what is coming, and how many more come later; `may` says which kinds may be written here."""
    soon = today + timedelta(days=SOON_DAYS)
    due = [each for each in dues if each.due.on is None or each.due.on <= today]
    next_ones = [each for each in dues if each.due.on is not None and today < each.due.on <= soon]
    now, coming = (tuple(_line(own, today, may) for own in _together(some)) for some in (due, next_ones))
    return now, coming, len(dues) - len(due) - len(next_ones)


def _together(dues: Sequence[DueOf]) -> Iterator[list[DueOf]]:
    """Looks at one book are one thing to do, for one look is good for all of them; the rest is by itself."""
    looks: dict[str, list[DueOf]] = {}
    for each in dues:
        if each.due.care in _LOOKS:
            looks.setdefault(each.row.book, []).append(each)
    for each in dues:
        if each.due.care not in _LOOKS:
            yield [each]
        elif each.row.book in looks:
            yield looks.pop(each.row.book)


def shelved(rows: Sequence[ShelfRow], ticked: Sequence[str]) -> tuple[Shelved, ...]:
    """The books of a place, in the order of titles."""
    return tuple(
        Shelved(book=each.book, name=named(each), where=_where(each), ticked=each.book in ticked) for each in rows
    )


def named(row: ShelfRow) -> str:
    """Title and number, or the id of a book that has neither."""
    return f"{row.title} {row.number}".strip() or row.book


def _where(row: ShelfRow) -> str:
    return row.place or (t(f"care.spot.{row.spot}") if row.spot else t("care.spot.none"))


def _line(own: Sequence[DueOf], today: date, may: Callable[[str], bool]) -> CareLine:
    """Of those that are done with together, the first says from when."""
    due, row = own[0].due, own[0].row
    counted = due.care in {Care.COUNT, Care.MISSING}
    href, do = "", ""
    if due.care in _LOOKS:
        href, do = f"/books/{row.book}/look", t("care.look")
    elif due.care is Care.HOUSING and may(Placement.kind):
        href, do = f"/entry/new?kind=placement&book={row.book}", t("care.house")
    return CareLine(
        book=row.book,
        name=named(row),
        where=_where(row),
        what="; ".join(dict.fromkeys(_what(each.due) for each in own)),
        when=t("care.no_day") if due.on is None else When.of_day(due.on).label(),
        since=_since(due),
        overdue=due.on is not None and due.on < today,
        count=counted,
        href=href,
        do=do,
    )


def _what(due: CareDue) -> str:
    if due.care is Care.HOUSING:
        kind = t(f"care.material.{(due.material or 'not known').replace(' ', '_')}")
        return t("care.what.housing", around=t(f"care.around.{due.around}"), material=kind)
    if due.care is Care.BEFORE and due.before is not None and due.ahead is not None:
        day = When.of_day(due.before).label()
        return t("care.what.before", ahead=t(f"care.ahead.{due.ahead.value}"), day=day)
    return t(f"care.what.{due.care.name.lower()}")


def _since(due: CareDue) -> str:
    """What the day rests on, in one line."""
    known = None if due.since is None else When.parse(due.since).label()
    if due.care is Care.BEFORE:
        return t("care.since.never_looked") if known is None else t("care.since.looked", day=known)
    if known is None:
        return t("care.since.not_known")
    return t("care.since.by_table" if due.by_table else "care.since.fixed", day=known)

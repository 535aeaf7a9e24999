"""The form that asks for a plan of rotation: spots, books and wishes; figures of light only where the ledger knows none."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.errors import InvalidError, Problem
from ledger.light_share import Light
from ledger.usecases.rotation_known import KnownLight
from ledger.usecases.rotation_said import BookSaid, RotationSaid, SpotSaid
from ledger.usecases.rotation_spots import At, where_of
from ledger.views import HungRow
from ledger.when import When
from web.form_values import Habits, date_read
from web.light_words import band, class_words, share
from web.posted import Posted
from web.rotation_light import known_words
from web.wording import t

__all__ = ["PAIRS", "BookRow", "SpotRow", "book_row", "read_rotation", "spot_lit", "spot_rows"]

PAIRS: Final = 3
"""Rows for two books that never hang together."""
_WHOLE: Final = re.compile(r"[0-9]{1,10}")
_WEEK: Final = 7
_PERIODS_READ: Final = 1000
"""More are refused all the same."""


@dataclass(frozen=True, kw_only=True)
class SpotRow:
    """A spot where a book hangs now."""

    id: str
    words: str
    hung: str
    """What hangs there."""
    row: HungRow
    at: At
    light: str = ""
    """The light of a day in words; empty where the ledger knows none, and it may be typed."""
    known: str = ""

    @property
    def where(self) -> At:
        """Its place on the wall."""
        return self.at


@dataclass(frozen=True, kw_only=True)
class BookRow:
    """A book that may hang, and what is known of its light."""

    book: str
    name: str
    where: str
    taken_for: str = ""
    so_far: str = ""
    """Its light so far in words; empty where the ledger knows none, and it may be typed."""


def spot_rows(hung: Sequence[HungRow], most: int) -> tuple[SpotRow, ...]:
    """The spots of books whose place on a wall is fully stated, each once, wall by wall from the left."""
    found: dict[At, SpotRow] = {}
    for row in sorted(hung, key=lambda each: (each.room or "", each.wall or "", float(each.x_cm or 0))):
        where = where_of(row)
        if where is not None and where not in found and len(found) < most:
            place = row.place or f"{row.room}, {row.wall}"
            words = t("rotation.spot", place=place, x=row.x_cm, y=row.y_cm)
            name = f"{row.title} {row.number}".strip() or row.book
            found[where] = SpotRow(id=f"s{len(found) + 1}", words=words, hung=name, row=row, at=where)
    return tuple(found.values())


def spot_lit(spot: SpotRow, known: KnownLight) -> SpotRow:
    """The spot with its light in words."""
    falls = known.spots[spot.at]
    if falls.lux_hours is None:
        return spot
    return replace(spot, light=t("light.lux_hours", sum=band(falls.lux_hours)), known=known_words(falls))


def book_row(book: str, name: str, where: str, light: Light) -> BookRow:
    """The book with its class and its light so far in words."""
    return BookRow(book=book, name=name, where=where, taken_for=class_words(light.standing.book), so_far=_so_far(light))


def _so_far(light: Light) -> str:
    if not light.known:
        return ""
    if light.faded is None:
        said = t("light.nothing")
    else:
        known = light.faded.known
        said = t("rotation.so_far_said", share=share(known) if known.high else t("rotation.none_counted"))
    if not light.total.unknown_days:
        return said
    return f"{said} {t.n('light.fact.unknown', light.total.unknown_days)}"


def read_rotation(posted: Posted, habits: Habits, spots: Sequence[SpotRow], books: Sequence[BookRow]) -> RotationSaid:
    """What was asked for.

    Raises: InvalidError with every problem at its input.
    """
    reader = _Reader(posted, habits)
    used = [each for each in spots if posted.get(f"{each.id}.use")]
    turns = [each for each in books if posted.get(f"{each.book}.use")]
    starts, weeks, count = reader.day("starts"), reader.whole("weeks"), reader.whole("count")
    made_spots = tuple(reader.spot(each) for each in used)
    made_books = tuple(reader.book(each, {spot.id for spot in used}) for each in turns)
    apart = tuple(pair for place in range(PAIRS) if (pair := reader.pair(place)) is not None)
    if not used:
        reader.fault("spots", t("rotation.no_spot"))
    if not turns:
        reader.fault("books", t("rotation.no_book"))
    if reader.problems:
        raise InvalidError(problems=tuple(reader.problems))
    assert starts is not None
    periods = ((weeks or 0) * _WEEK,) * min(count or 0, _PERIODS_READ)
    return RotationSaid(starts=starts.earliest_day, periods=periods, spots=made_spots, books=made_books, apart=apart)


class _Reader:
    """Reads one form, keeping what is wrong with it."""

    def __init__(self, posted: Posted, habits: Habits) -> None:
        self._posted, self._habits = posted, habits
        self.problems: list[Problem] = []

    def fault(self, name: str, sentence: str) -> None:
        self.problems.append(Problem(field=name, sentence=sentence))

    def day(self, name: str) -> When | None:
        """One day, or None with a problem."""
        answer = date_read(self._posted.get(name), self._habits)
        found = None if answer.fault or not isinstance(answer.plain, str) else When.parse(answer.plain)
        if found is None or found.earliest_day != found.latest_day:
            self.fault(name, answer.fault or t("rotation.one_day"))
            return None
        return found

    def whole(self, name: str, *, needed: bool = True) -> int | None:
        """A whole number; None where it was left empty or is wrong."""
        text = self._posted.get(name).replace(",", "").replace(" ", "")
        if not text and not needed:
            return None
        if not _WHOLE.fullmatch(text):
            self.fault(name, t("rotation.whole"))
            return None
        return int(text)

    def spot(self, each: SpotRow) -> SpotSaid:
        """The spot; its light is read only where the ledger knows none."""
        room, wall, x_cm, y_cm = (getattr(each.row, name) or "" for name in ("room", "wall", "x_cm", "y_cm"))
        light = None
        if not each.light:
            light = self._posted.get(f"{each.id}.light").replace(",", "").replace(" ", "")
            if not re.fullmatch(r"(0|[1-9][0-9]{0,5})(\.[0-9]{1,3})?", light):
                self.fault(f"{each.id}.light", t("rotation.light_needed"))
        return SpotSaid(id=each.id, room=room, wall=wall, x_cm=x_cm, y_cm=y_cm, lux_hours_a_day=light)

    def book(self, each: BookRow, spots: set[str]) -> BookSaid:
        """The book with its wishes; its light so far is read only where the ledger counted none."""
        pinned = self._posted.get(f"{each.book}.pinned")
        if pinned and pinned not in spots:
            self.fault(f"{each.book}.pinned", t("rotation.pinned_off"))
        return BookSaid(
            book=each.book,
            taken=None if each.so_far else self.whole(f"{each.book}.taken", needed=False),
            always=bool(self._posted.get(f"{each.book}.always")),
            pinned=pinned or None,
            days_a_year=self.whole(f"{each.book}.days", needed=False),
            within_limit=bool(self._posted.get("within")),
        )

    def pair(self, place: int) -> tuple[str, str] | None:
        """Two books that never hang together; None where none are named."""
        one, other = (self._posted.get(f"apart.{place}.{name}") for name in ("one", "other"))
        if one and other:
            return one, other
        if one or other:
            self.fault(f"apart.{place}.one", t("rotation.pair_half"))
        return None

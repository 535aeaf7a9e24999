"""What the ledger knows of the light of spots and books, read in one moment, so that nobody types it for a plan."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, Problem
from ledger.events._parts import Answer
from ledger.history import fold, history
from ledger.light_share import Light, Prospect, light_of, prospect_of
from ledger.light_spot import DayLight, Where, glazing_of, light_at
from ledger.ports import Ledger
from ledger.rotations import TYPED, RotationBook, RotationSpot, Span
from ledger.rules.light import Extent, LightRules
from ledger.usecases.light import House, all_said, house_of, standing_from
from ledger.usecases.rotation_said import BookSaid, SpotSaid
from ledger.usecases.rotation_spots import At, HasPlace, at_spots

__all__ = ["KnownLight", "day_span", "known_light", "rotation_books", "rotation_spots", "spot_in", "year_there"]

_FINE: Final = 10**6
"""Shares are kept to a millionth; nothing here is known that finely."""
_TENTH: Final = 10


@dataclass(frozen=True, kw_only=True)
class KnownLight:
    """The light of spots as their rooms are now, the light of books until today, and who hangs where."""

    spots: Mapping[At, DayLight]
    books: Mapping[str, Light]
    house: House
    hung: Mapping[At, tuple[str, ...]]
    glazing: Mapping[At, Answer]
    """Whether what hangs there now is glazed against ultraviolet."""


def known_light(ledger: Ledger, actor: Actor, spots: Sequence[HasPlace], books: Sequence[str]) -> KnownLight:
    """Of these spots and books.

    Keeps: glazing counts at a spot as that of the frame that hangs there now, since frames stay where they are.
    Raises: NotFoundError for a book that is not in the collection.
    """
    actor.require(Permission.READ)
    until, said = ledger.clock.today(), all_said(ledger)
    with ledger.log.read() as reader:
        house, hung = house_of(ledger, reader, until), at_spots(reader, spots)
        lights: dict[str, Light] = {}
        for book in dict.fromkeys((*books, *(each for there in hung.values() for each in there))):
            moments = history(reader.of_book(book), ledger.codec)
            state = fold(book, reader.book(book).no, moments)
            standing = standing_from(house.rules, state, said.get(book, {}))
            lights[book] = light_of(state, moments, house.rooms, house.rules, standing, until)
    glazing = {each.where: _glazing(lights, hung.get(each.where, ())) for each in spots}
    falls = {where: spot_in(house, where, each) for where, each in glazing.items()}
    return KnownLight(spots=falls, books=lights, house=house, hung=hung, glazing=glazing)


def spot_in(house: House, where: At, glazing: Answer) -> DayLight:
    """The light of a spot as its room is now."""
    room, wall, x_cm, y_cm = where
    at = Where(room=room, wall=wall, x_cm=str(x_cm), y_cm=str(y_cm), glazing=glazing)
    return light_at(at, house.current, house.rules)


def day_span(falls: DayLight) -> Span | None:
    """The light of a day to a tenth of a lux hour; None where it is not known."""
    return None if falls.lux_hours is None else _span(falls.lux_hours, _TENTH)


def year_there(known: KnownLight, spot: At, book: str) -> Prospect:
    """What a year at the spot would come to for the book."""
    light = known.books[book]
    return prospect_of(known.spots[spot], known.house.rules, light.standing.book, light.faded)


def rotation_spots(said: Sequence[SpotSaid], known: KnownLight) -> tuple[RotationSpot, ...]:
    """The spots with their light, as it was typed, or as it is known.

    Raises: InvalidError for one of which nothing is known, and nothing was typed.
    """
    found, problems = [], []
    for place, each in enumerate(said):
        falls = known.spots[each.where]
        light, how = _light_of(each, falls)
        if light is None:
            sentence = (
                "Nothing is known of the light there. Enter a reading in its room, or the lux hours of a day here."
            )
            problems.append(Problem(field=f"spots.{place}.lux_hours_a_day", sentence=sentence))
            continue
        found.append(
            RotationSpot(
                id=each.id, room=each.room, wall=each.wall, x_cm=each.x_cm, y_cm=each.y_cm,
                light=light, known=how, filtered=falls.filtered,
            )
        )  # fmt: skip
    if problems:
        raise InvalidError(problems=tuple(problems))
    return tuple(found)


def rotation_books(said: Sequence[BookSaid], known: KnownLight) -> tuple[RotationBook, ...]:
    """The books with their doses and their light so far, as they were typed, or as they are known."""
    return tuple(_book_of(each, known.books[each.book], known.house.rules) for each in said)


def _light_of(said: SpotSaid, falls: DayLight) -> tuple[Span | None, str]:
    if said.lux_hours_a_day is not None:
        typed = Fraction(said.lux_hours_a_day)
        return Span(low=typed, middle=typed, high=typed), TYPED
    return day_span(falls), falls.known.value


def _book_of(said: BookSaid, light: Light, rules: LightRules) -> RotationBook:
    of = light.standing.book
    with_uv, without = (rules.fade_dose(of, uv=uv) for uv in (True, False))
    fade = None if with_uv is None else _span(with_uv)
    filtered = None if without is None else _span(without)
    if said.fade is not None:
        low, middle, high = map(Fraction, said.fade)
        fade, filtered = Span(low=low, middle=middle, high=high), None
    limit = of.most_lux_hours_a_year if said.within_limit else None
    limits = [each for each in (said.lux_hours_a_year, limit) if each is not None]
    taken, had = _so_far(said, light, fade)
    return RotationBook(
        book=said.book,
        fade=fade,
        filtered=filtered,
        taken_for=TYPED if said.fade is not None else of.light_class.value,
        taken=taken,
        had=had,
        taken_typed=said.taken is not None,
        unknown_days=light.total.unknown_days,
        always=said.always,
        pinned=said.pinned,
        days_a_year=said.days_a_year,
        lux_hours_a_year=min(limits, default=None),
    )


def _so_far(said: BookSaid, light: Light, fade: Span | None) -> tuple[Span | None, Span | None]:
    """Light so far and which part of a fade it was; None where it is not known, which is not nothing."""
    if said.taken is None and not light.known:
        return None, None
    if said.taken is None and said.fade is None:
        faded = None if light.faded is None else _span(light.faded.known, _FINE)
        return _span(light.total.extent), faded
    typed = Fraction(said.taken or 0)
    taken = _span(light.total.extent) if said.taken is None else Span(low=typed, middle=typed, high=typed)
    if fade is None:
        return taken, None
    return taken, Span(low=taken.low / fade.high, middle=taken.middle / fade.middle, high=taken.high / fade.low)


def _span(of: Extent, parts: int = 1) -> Span:
    """To so many parts of one: nothing here is known more finely."""
    low, middle, high = (Fraction(round(each * parts), parts) for each in (of.low, of.middle, of.high))
    return Span(low=low, middle=middle, high=high)


def _glazing(lights: Mapping[str, Light], there: Sequence[str]) -> Answer:
    """Whether the frame that hangs there filters ultraviolet; no frame filters nothing."""
    for book in there:
        placed = lights[book].stays[-1].placement if lights[book].stays else None
        if placed is not None:
            return glazing_of(placed.housings)
    return Answer.NO

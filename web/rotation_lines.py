"""A plan of rotation as pages show it: drawn with spots as rows and time along them, and told book by book in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from ledger.events.room import Room
from ledger.rotations import TYPED, Rotation, RotationSpot, Standing, Swap
from ledger.when import When
from web.rotation_light import day_figure, so_far_words, span_words
from web.wall_names import room_name, side_name
from web.wording import t

__all__ = [
    "Bar",
    "BookLine",
    "Drawing",
    "PlanLine",
    "Row",
    "SwapLine",
    "book_lines",
    "drawing_of",
    "largest_hung_words",
    "largest_words",
    "plan_line",
    "swap_lines",
]

WIDTH_PX: Final = 1180
LEFT_PX: Final = 220
"""Room for what a spot is called."""
ROW_PX: Final = 46
HEAD_PX: Final = 30
_CHARACTER_PX: Final = 8
"""How wide a letter of a label is taken to be."""
_SMALL_PX: Final = 7
"""The same of what a spot is called."""
_LEAST: Final = 3
"""A label of fewer letters is left out."""
_TICK_PX: Final = 70
"""Dates of swaps stand no closer than this."""


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One book at one spot, over as many periods as it stays. Units: px."""

    x: float
    y: float
    width: float
    words: str
    """As much of its name as there is room for."""
    title: str
    state: str
    """done, over, next or later."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One spot."""

    y: float
    room: str
    """As much of its name as there is room for."""
    wall: str
    """Its wall, how far along it, and the light of a day."""
    title: str
    """All of it."""


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """The whole plan."""

    width: int
    height: int
    left: int
    rows: tuple[Row, ...]
    bars: tuple[Bar, ...]
    ticks: tuple[tuple[float, str], ...]
    words: str


@dataclass(frozen=True, kw_only=True)
class BookLine:
    """What a plan does to one book."""

    book: str
    name: str
    days: int
    taken_for: str
    before: str
    """Its share before the plan."""
    share: str
    """Its share at the end, with its band."""
    wishes: str


@dataclass(frozen=True, kw_only=True)
class SwapLine:
    """One swap in words."""

    number: int
    shown: int
    day: str
    books: str
    state: str
    open: bool


@dataclass(frozen=True, kw_only=True)
class PlanLine:
    """One plan in the list."""

    href: str
    title: str
    books: int
    spots: int
    largest: str
    accepted: bool
    next: str


def largest_words(plan: Rotation) -> str:
    """The largest share with its band."""
    return span_words(max(plan.bands().values(), key=lambda each: each.middle))


def largest_hung_words(plan: Rotation) -> str:
    """The same over the books that hang in it at all."""
    days = plan.days()
    return span_words(max((each for book, each in plan.bands().items() if days[book]), key=lambda each: each.middle))


def plan_line(plan: Rotation) -> PlanLine:
    """A plan, told short."""
    swap = plan.next_swap
    return PlanLine(
        href=f"/rotation/{plan.id}",
        title=t("rotation.from_to", first=_day(plan.starts), last=_day(plan.ends)),
        books=len(plan.books),
        spots=len(plan.spots),
        largest=largest_words(plan),
        accepted=plan.standing is Standing.ACCEPTED,
        next=_day(swap.due) if swap else t("rotation.all_done"),
    )


def book_lines(plan: Rotation, names: Mapping[str, str]) -> tuple[BookLine, ...]:
    """Every book, the one with the largest share first."""
    bands, days = plan.bands(), plan.days()
    spots = {each.id: f"{each.x_cm} cm" for each in plan.spots}
    found = []
    for each in sorted(plan.books, key=lambda one: -bands[one.book].middle):
        wishes = [t("rotation.always")] if each.always else []
        wishes += [t("rotation.only_at", spot=spots[each.pinned])] if each.pinned in spots else []
        wishes += [t("rotation.days_most", days=each.days_a_year)] if each.days_a_year is not None else []
        if each.lux_hours_a_year is not None:
            wishes.append(t("rotation.light_most", most=f"{each.lux_hours_a_year:,}"))
        wishes += [
            t("rotation.never_with", other=names.get(other, other))
            for pair in plan.apart
            if each.book in pair
            for other in pair
            if other != each.book
        ]
        found.append(
            BookLine(
                book=each.book,
                name=names.get(each.book, each.book),
                days=days[each.book],
                taken_for=t("rotation.typed") if each.taken_for == TYPED else t(f"light.classes.{each.taken_for}"),
                before=so_far_words(each),
                share=span_words(bands[each.book]),
                wishes="; ".join(wishes),
            )
        )
    return tuple(found)


def swap_lines(plan: Rotation, names: Mapping[str, str]) -> tuple[SwapLine, ...]:
    """Every swap, with who hangs from then on."""
    return tuple(
        SwapLine(
            number=each.number,
            shown=each.number + 1,
            day=_day(each.due),
            books=", ".join(names.get(book, book) for book in each.row),
            state=t(f"rotation.state.{_state(plan, each)}"),
            open=each.open,
        )
        for each in plan.swaps
    )


def drawing_of(plan: Rotation, names: Mapping[str, str], rooms: Mapping[str, Room]) -> Drawing:
    """Spots from the top in their order, time from the left; neighbouring periods of one book are one bar."""
    whole, wide = sum(plan.periods), WIDTH_PX - LEFT_PX

    def x_of(day: date) -> float:
        return LEFT_PX + wide * (day - plan.starts).days / whole

    bars = [
        _bar(plan, names, spot, run, (x_of(run[0].due), x_of(run[-1].until)))
        for spot in range(len(plan.spots))
        for run in _runs(plan, spot)
    ]
    ticks: list[tuple[float, str]] = []
    for each in plan.swaps:
        x = x_of(each.due)
        ticks.append((x, _day(each.due) if all(x - other >= _TICK_PX or not words for other, words in ticks) else ""))
    rows = tuple(_row(each, rooms, HEAD_PX + ROW_PX * place) for place, each in enumerate(plan.spots))
    words = t(
        "rotation.drawn", spots=len(plan.spots), books=len(plan.books), first=_day(plan.starts), last=_day(plan.ends)
    )
    height = HEAD_PX + ROW_PX * len(plan.spots) + 2
    return Drawing(
        width=WIDTH_PX, height=height, left=LEFT_PX, rows=rows, bars=tuple(bars), ticks=tuple(ticks), words=words
    )


def _runs(plan: Rotation, spot: int) -> list[list[Swap]]:
    """Periods in a row in which one book stays at a spot, and which have come equally far."""
    found: list[list[Swap]] = []
    for each in plan.swaps:
        last = found[-1][-1] if found else None
        if last is not None and last.row[spot] == each.row[spot] and _state(plan, last) == _state(plan, each):
            found[-1].append(each)
        else:
            found.append([each])
    return found


def _row(spot: RotationSpot, rooms: Mapping[str, Room], y: int) -> Row:
    room = room_name(rooms, spot.room)
    wall = t("rotation.row", wall=side_name(rooms, spot.room, spot.wall), x=spot.x_cm, light=day_figure(spot))
    return Row(y=y, room=_cut(room, LEFT_PX // _SMALL_PX), wall=wall, title=f"{room}, {wall}")


def _cut(words: str, most: int) -> str:
    """As much as there is room for; nothing where that would be a letter or two."""
    return words if len(words) <= most else f"{words[: most - 1].rstrip()}…" if most >= _LEAST else ""


def _bar(plan: Rotation, names: Mapping[str, str], spot: int, run: Sequence[Swap], reach: tuple[float, float]) -> Bar:
    start, stop = reach
    name = names.get(run[0].row[spot], run[0].row[spot])
    words = _cut(name, int((stop - start - 12) / _CHARACTER_PX))
    title = t("rotation.bar", book=name, first=_day(run[0].due), last=_day(run[-1].until))
    y = HEAD_PX + ROW_PX * spot + 6
    return Bar(x=start, y=y, width=stop - start, words=words, title=title, state=_state(plan, run[0]))


def _state(plan: Rotation, swap: Swap) -> str:
    if swap.passed_over:
        return "over"
    if swap.act is not None:
        return "done"
    return "next" if swap == plan.next_swap else "later"


def _day(day: date) -> str:
    return When.of_day(day).label()

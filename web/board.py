"""The board of the bench: loads by the press they are in, what is due, which books wait for a decision, and their heat."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

from ledger.bench import Load
from ledger.dose import Heat
from ledger.errors import Problem
from ledger.rules.techniques import techniques
from ledger.tools import Tool
from ledger.usecases.board import AtBench, Board
from ledger.when import When
from web.bench_lines import BookLink, LoadLine, Scale, line_of
from web.dose_words import band_words
from web.tool_lines import room_words
from web.wording import t

__all__ = [
    "BookLine",
    "Due",
    "Press",
    "Sent",
    "Undecided",
    "book_line",
    "due_of",
    "heat_words",
    "presses_of",
    "undecided_of",
]


@dataclass(frozen=True, kw_only=True)
class Press:
    """One press or tool with the loads in it; no name for loads that are in none of the list."""

    name: str
    room: str
    full: bool
    loads: tuple[LoadLine, ...]


@dataclass(frozen=True, kw_only=True)
class BookLine:
    """A book that is in no load: its id, its name, and the heat it had so far."""

    id: str
    name: str
    href: str
    heat: str


@dataclass(frozen=True, kw_only=True)
class Due:
    """Something that somebody has to do now, and where."""

    words: str
    href: str


@dataclass(frozen=True, kw_only=True)
class Undecided:
    """A book that waits for a decision, why, and what was typed of it already."""

    book: BookLine
    why: tuple[str, ...]
    look: str
    """Where it is looked at again; empty where no look is due."""
    key: str
    """Of its form."""
    typed: str


@dataclass(frozen=True, kw_only=True)
class Sent:
    """A choice that came back: of which book, what was typed, and what stands in its way."""

    book: str = ""
    why: str = ""
    problems: tuple[Problem, ...] = field(default=())


def presses_of(board: Board, scale: Scale, now: datetime) -> tuple[Press, ...]:
    """Tools that hold a load, retired ones too, by name; then the loads in none of the list; then what is free."""
    names = {each.id: each.name for each in board.books.values()}
    heats = {each.id: heat_words(each.heat) for each in board.books.values()}
    known = {each.id for each in board.bench.tools}

    def lines(loads: Iterator[Load]) -> tuple[LoadLine, ...]:
        return tuple(_with_heat(line_of(each, board.bench, names, scale, now), heats) for each in loads)

    made = [(tool, lines(each for each in board.bench.loads if each.tool == tool.id)) for tool in board.bench.tools]
    found = [_press(tool, board.bench.room_in(tool), loads) for tool, loads in made if loads or not tool.retired]
    rest = lines(each for each in board.bench.loads if each.tool not in known)
    other = [Press(name="", room="", full=False, loads=rest)] if rest else []
    return (*(each for each in found if each.loads), *other, *(each for each in found if not each.loads))


def due_of(board: Board, presses: tuple[Press, ...]) -> tuple[Due, ...]:
    """Loads that are over or not written down, and looks after a rest."""
    loads = [
        Due(words=t("board.due_load", what=f"{press.name}: {load.title}" if press.name else load.title, stands=load.stands),
            href=f"#load-{load.id}")
        for press in presses for load in press.loads if load.due
    ]  # fmt: skip
    looks = [
        Due(words=t("board.due_look", book=each.name, day=When.of_day(each.look_due).label()), href=f"#decide-{each.id}")
        for each in board.undecided if each.look_due is not None
    ]  # fmt: skip
    return (*loads, *looks)


def undecided_of(board: Board, keys: Iterator[str], sent: Sent) -> tuple[Undecided, ...]:
    """The books that wait for a decision; each form has a key of its own."""
    return tuple(
        Undecided(
            book=book_line(each),
            why=tuple(_why(each)),
            look=f"/entry/new?kind=examination&book={each.id}" if each.look_due is not None else "",
            key=key,
            typed=sent.why if sent.book == each.id else "",
        )
        for each, key in zip(board.undecided, keys, strict=False)
    )


def book_line(book: AtBench) -> BookLine:
    """A book in a list."""
    return BookLine(id=book.id, name=book.name, href=f"/books/{book.id}", heat=heat_words(book.heat))


def heat_words(heat: Heat) -> str:
    """The heat so far as its band; none, or that it cannot be told, is said too."""
    if not heat.sessions:
        return t("board.no_heat")
    if heat.untold == heat.sessions:
        return t("board.heat_not_known")
    words = t("board.heat", band=band_words(heat.band))
    return f"{words} {t.n('dose.untold', heat.untold)}" if heat.untold else words


def _why(book: AtBench) -> Iterator[str]:
    if book.over is not None:
        title = next((each.title for each in techniques() if each.id == book.over.technique), book.over.technique)
        on = t("frame.not_known") if book.over.on is None else book.over.on.label()
        yield t("board.over", what=title, on=on)
    if book.look_due is not None:
        yield t("board.look_due", day=When.of_day(book.look_due).label())


def _press(tool: Tool, room: int | None, loads: tuple[LoadLine, ...]) -> Press:
    words = room_words(tool, room) if room is not None else ""
    return Press(name=tool.name, room=words, full=room == 0, loads=loads)


def _with_heat(line: LoadLine, heats: dict[str, str]) -> LoadLine:
    books = (
        BookLink(name=each.name, href=each.href, heat=heats.get(each.href.rpartition("/")[2], ""))
        for each in line.books
    )
    return LoadLine(**{**vars(line), "books": tuple(books)})

"""What stands at the head of a book's page: what it is, where it is, and the few facts asked for first."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ledger.book import Book, Status
from ledger.events._parts import Holding, Issue
from ledger.events.examination import Examination
from ledger.events.placement import Placement
from ledger.events.purchase import Purchase
from ledger.history import Moment
from ledger.usecases.look import BookLook
from web.brief import brief_day
from web.filters import tally, when
from web.grade_rows import stated_by
from web.numbers import number
from web.wording import t

__all__ = ["Fact", "Heading", "facts_of", "heading_of", "issue_of", "place_of"]

PRINTINGS_NAMED = 3
"""Printings that have a word of their own."""


@dataclass(frozen=True)
class Heading:
    """Title and number, and the two lines below them."""

    title: str
    number: str
    printed: str
    where: str
    same_as: str | None
    """The book this one is the same copy as."""


@dataclass(frozen=True)
class Fact:
    """A name, its value, and a quieter word below it."""

    name: str
    value: str
    beside: str = ""


def heading_of(look: BookLook) -> Heading:
    """What the book is and where it is."""
    issue = look.book.issue
    title, number_of = issue_of(look.book)
    return Heading(
        title=title,
        number=number_of,
        printed=_sentence(_printed(issue, look.moments)) if issue else t("book.no_issue"),
        where=_where(look),
        same_as=look.book.same_as,
    )


def issue_of(book: Book) -> tuple[str, str]:
    """Title and number, as they head a page."""
    return (book.issue.title, _number(book.issue.number)) if book.issue else (t("book.unnamed"), "")


def facts_of(look: BookLook) -> tuple[Fact, ...]:
    """The facts beside the statement."""
    book, seen = look.book, look.book.last_look
    rest = seen.rest_hours if seen else None
    last = _last_written(look)
    return (
        _grade(book, look.moments),
        _own_grade(look.moments),
        Fact(
            t("book.facts.look"),
            when(seen.on) if seen else t("book.facts.never"),
            t.n("book.facts.rest_read" if seen and seen.rest_from_dates else "book.facts.rest", rest, hours=tally(rest))
            if rest is not None
            else "",
        ),
        _paper(look.moments),
        Fact(t("book.facts.held"), _holding(book)),
        Fact(t("book.facts.came"), _came(book, look.moments)),
        Fact(t("book.facts.work"), _work(look.statement.steps)),
        Fact(t("book.facts.entries"), tally(book.entries), t("book.facts.last", day=last)),
    )


def place_of(book: Book, moments: Sequence[Moment]) -> str | None:
    """The name of its place in the owner's words; None where it has none, or the name is not at hand."""
    placing = next((each.event for each in moments if each.entry.seq == book.placed_by), None)
    return placing.place.value if isinstance(placing, Placement) else None


def _last_written(look: BookLook) -> str:
    """The day of the newest entry."""
    return brief_day(max(each.entry.recorded for each in look.moments))


def _number(written: str) -> str:
    """A number as a title carries it; a name such as Annual 3 needs no "no."."""
    return t("book.number", number=written) if written[:1].isdigit() else written


def _printed(issue: Issue, moments: Sequence[Moment]) -> Iterator[str]:
    if issue.publisher:
        yield issue.publisher
    yield issue.cover_date.label() if issue.cover_date else t("book.no_cover_date")
    if issue.printing:
        named = issue.printing <= PRINTINGS_NAMED
        yield t(f"book.printing.{issue.printing}") if named else t("book.printing.later", number=issue.printing)
    if issue.variant:
        yield issue.variant
    looks = _looks(moments)
    pages = next((each.pages_counted for each in reversed(looks) if each.pages_counted is not None), None)
    weight = next((each.weight_g for each in reversed(looks) if each.weight_g is not None), None)
    if pages is not None:
        yield t.n("book.pages", pages)
    if weight is not None:
        yield t("book.grams", weight=weight)


def _sentence(parts: Iterable[str]) -> str:
    """The parts in a row, the first letter a capital one."""
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


def _where(look: BookLook) -> str:
    """The state in one line, with the place and since when."""
    book, state = look.book, look.row.state
    if book.status is not Status.HELD or book.spot is None or book.missing_since is not None:
        return state
    place = place_of(book, look.moments)
    since = when(book.placed_on) if book.placed_on else ""
    there = ", ".join(part for part in (place or "", t("book.since", when=since) if since else "") if part)
    return t("book.where", state=state, there=there) if there else state


def _paper(moments: Sequence[Moment]) -> Fact:
    """Tone and suppleness as the last look told them that looked for either; which one, where a later look did not."""
    looks = _looks(moments)
    told = next((each for each in reversed(looks) if each.tone or each.suppleness), None)
    if told is None:
        return Fact(t("book.facts.paper"), t("frame.not_known"))
    words = ", ".join(each for each in (told.tone, told.suppleness) if each)
    return Fact(t("book.facts.paper"), words, _seen(told, looks))


def _looks(moments: Sequence[Moment]) -> list[Examination]:
    return [each.event for each in moments if each.in_force and isinstance(each.event, Examination)]


def _seen(told: Examination, looks: Sequence[Examination]) -> str:
    """When that was seen, where a later look left it open."""
    return t("book.facts.seen", when=when(told.on)) if told is not looks[-1] and told.on else ""


def _own_grade(moments: Sequence[Moment]) -> Fact:
    """What it presents as by the last look that said it, and the technical grade beside it; which look, where it is not the last."""
    looks = _looks(moments)
    told = next((each for each in reversed(looks) if each.presents_as or each.technical), None)
    if told is None:
        return Fact(t("book.facts.presents"), t("frame.not_known"))
    presents = str(told.presents_as) if told.presents_as else t("frame.not_known")
    technical = t("book.facts.technical", grade=told.technical) if told.technical else ""
    return Fact(t("book.facts.presents"), presents, "; ".join(each for each in (technical, _seen(told, looks)) if each))


def _grade(book: Book, moments: Sequence[Moment]) -> Fact:
    step = book.grade_in_force() or (book.grades[-1] if book.grades else None)
    if step is None:
        return Fact(t("book.facts.grade"), t("book.facts.no_grade"))
    by = stated_by(next(each for each in moments if each.entry.seq == step.seq))
    beside = t("book.facts.by", who=by, when=when(step.on))
    if step.ended_by is not None:
        beside = t("book.facts.ended", grade=step.stated.as_written, by=beside)
        return Fact(t("book.facts.grade"), t("book.facts.none_in_force"), beside)
    return Fact(t("book.facts.grade"), step.stated.as_written, beside)


def _holding(book: Book) -> str:
    if book.holding is Holding.SLABBED:
        return t("book.lanes.holder", number=book.holder_number) if book.holder_number else t("book.facts.a_holder")
    return t("book.facts.raw") if book.holding is Holding.RAW else t("frame.not_known")


def _came(book: Book, moments: Sequence[Moment]) -> str:
    if not book.ownerships:
        return t("book.facts.not_yet")
    owned = book.ownerships[-1]
    event = next((each.event for each in moments if each.entry.seq == owned.taken_by), None)
    means = event.means.value if isinstance(event, Purchase) else ""
    if owned.since is None:
        return t("book.facts.means_only", means=means)
    return t("book.facts.means", means=means, when=when(owned.since))


def _work(steps: int) -> str:
    return t.n("book.telling.count", steps, number=number(steps)) if steps else t("book.telling.none")

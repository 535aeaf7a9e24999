"""Care: what is due, place by place; books counted by one tap or many as one act; what is planned, so that it is looked before."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Response

from ledger.actor import Actor
from ledger.care_due import Ahead
from ledger.errors import InvalidError, LedgerError, Problem
from ledger.events.count import Count, Result
from ledger.ports import Ledger
from ledger.usecases import care as work
from ledger.usecases.browse import look_up
from ledger.when import When
from web.care_lines import CareLine, Shelved, care_lines, named, shelved
from web.deps import PostedDep, WaitingDep
from web.entering import ask, fresh_key, key_of, refusal, told_of
from web.form_values import Habits, date_read
from web.forms import typed_in
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.sender import Sender, SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()
"""What is due, and counts: a phone may."""
keeping = APIRouter()
"""What is planned."""

PATH: Final = "/care"
COUNT: Final = f"{PATH}/count"
PLAN: Final = f"{PATH}/planned"
RESULTS: Final = tuple((each.value, t(f"care.result.{each.name.lower()}")) for each in Result)
AHEAD: Final = tuple((each.value, t(f"care.ahead.{each.value}")) for each in Ahead)
OPEN: Final = 20
"""Lines of a list that stand open. Our assumption: what one evening may bring."""
PlaceAsked = Annotated[str, Query(max_length=200)]


@dataclass(frozen=True, kw_only=True)
class PlannedLine:
    """Something that is planned for a book."""

    book: str
    name: str
    what: str
    words: str
    on: str
    day: str


@page("care.html")
@dataclass(frozen=True, kw_only=True)
class CarePage(Page):
    """What is due, and the shelf that is counted."""

    sentence: str
    place: str
    places: tuple[tuple[str, str], ...]
    now: tuple[CareLine, ...]
    coming: tuple[CareLine, ...]
    later: int
    first: int
    """So many of a list stand open; the rest is folded."""
    further: bool
    shelf: tuple[Shelved, ...]
    planned: tuple[PlannedLine, ...]
    books: tuple[tuple[str, str], ...]
    results: tuple[tuple[str, str], ...]
    ahead: tuple[tuple[str, str], ...]
    typed: dict[str, str]
    key: str
    waiting: str
    problems: tuple[Problem, ...]
    faults: dict[str, str]


@router.get(PATH)
def look(by: SenderDep, waiting: WaitingDep, place: PlaceAsked = "") -> Response:
    """What is due everywhere, or in one place."""
    held = waiting if waiting is not None and waiting.action in {COUNT, PLAN} else None
    return render(_page(by, held.get("place") if held else place, held))


@router.post(COUNT)
def count(by: SenderDep, posted: PostedDep) -> Response:
    """One book by one tap, or all that are ticked, as one act."""
    habits, key, one = by.habits, key_of(by.ledger, posted), posted.get("one")
    books = [one] if one else list(posted.all("book"))
    try:
        on = When.of_day(habits.today) if one else _when(posted.get("on"), habits)
        counted = Count(on=on, result=Result.FOUND if one else _result(posted.get("result")))
        if not books:
            raise InvalidError(problems=(Problem(field="book", sentence=t("care.none_ticked")),))
        recorded = work.count_books(by.ledger, by.actor, books, counted, ask(COUNT, key, typed_in(posted), posted))
    except LedgerError as error:
        refused = refusal(error)
        return render(_page(by, posted.get("place"), posted, refused.problems), status=refused.status)
    return go_to(by.request, _at(posted.get("place")), told_of(recorded, ""))


@keeping.post(PLAN)
def plan(by: SenderDep, posted: PostedDep) -> Response:
    """A move, a press or a trip, and the look before it."""
    try:
        what, on = _ahead(posted.get("what")), _day(posted.get("planned_on"), by.habits)
        work.plan_ahead(by.ledger, by.actor, posted.get("planned_book"), what, on)
    except LedgerError as error:
        refused = refusal(error)
        problems = [
            Problem(
                field={"on": "planned_on", "book": "planned_book"}.get(each.field, each.field), sentence=each.sentence
            )
            for each in refused.problems
        ]
        return render(_page(by, posted.get("place"), posted, problems), status=refused.status)
    return go_to(by.request, _at(posted.get("place")), Told(sentence=t("care.planned_told")))


@keeping.post(f"{PLAN}/off")
def take_off(by: SenderDep, posted: PostedDep) -> Response:
    """It is no longer planned."""
    try:
        on = date.fromisoformat(posted.get("on"))
    except ValueError:
        raise InvalidError(problems=(Problem(field="on", sentence=t("care.no_such_day")),)) from None
    work.take_planned(by.ledger, by.actor, posted.get("planned_book"), _ahead(posted.get("what")), on)
    return go_to(by.request, _at(posted.get("place")), Told(sentence=t("care.planned_off")))


def _page(by: Sender, place: str, posted: Posted | None, problems: Sequence[Problem] = ()) -> CarePage:
    ledger, actor, habits = by.ledger, by.actor, by.habits
    found = work.care_due(ledger, actor, (place,) if place else ())
    now, coming, later = care_lines(found.dues, habits.today, may=actor.may_write)
    names = {each.book: named(each) for each in found.books}
    return CarePage(
        frame=by.frame.at(Place.WALL),
        sentence=t.n("care.due", len(now)) if now else t("care.nothing_due"),
        place=place,
        places=_places(ledger, actor),
        now=now,
        coming=coming,
        later=later,
        first=OPEN,
        further=found.further,
        shelf=shelved(found.books, posted.all("book") if posted else ()) if place else (),
        planned=tuple(_planned(ledger, names)),
        books=tuple((book, name) for book, name in names.items()),
        results=RESULTS,
        ahead=AHEAD,
        typed=_typed(posted, habits, next(iter(names), "")),
        key=key_of(ledger, posted) if posted is not None and not problems else fresh_key(ledger),
        waiting=posted.waiting if posted is not None else "",
        problems=tuple(problems),
        faults={each.field: each.sentence for each in problems},
    )


def _places(ledger: Ledger, actor: Actor) -> tuple[tuple[str, str], ...]:
    """Every place that has a name, with how many books are in it."""
    counted = {each.place: each.books for each in look_up(ledger, actor).tallies.places if each.place}
    named_ones = tuple((place, t.n("care.place", count, place=place)) for place, count in counted.items())
    return (("", t("care.everywhere")), *named_ones)


def _typed(posted: Posted | None, habits: Habits, book: str) -> dict[str, str]:
    """What stands in the inputs: what was typed, or what is offered."""
    offered = {
        "on": When.of_day(habits.today).label(),
        "result": Result.FOUND.value,
        "what": Ahead.MOVE.value,
        "planned_on": "",
        "planned_book": book,
    }
    return {name: (posted.get(name) if posted else "") or value for name, value in offered.items()}


def _planned(ledger: Ledger, names: dict[str, str]) -> list[PlannedLine]:
    """What is planned for the books of the page, by day."""
    found = [(each, book) for book, every in work.all_planned(ledger).items() if book in names for each in every]
    return [
        PlannedLine(
            book=book,
            name=names[book],
            what=each.what.value,
            words=t(f"care.ahead.{each.what.value}"),
            on=each.on.isoformat(),
            day=When.of_day(each.on).label(),
        )
        for each, book in sorted(found, key=lambda one: (one[0].on, names[one[1]]))
    ]


def _at(place: str) -> str:
    return f"{PATH}?{urlencode({'place': place})}" if place else PATH


def _when(text: str, habits: Habits, field: str = "on") -> When | None:
    """A date as people write it; empty is not known."""
    if not text.strip():
        return None
    answer = date_read(text, habits)
    if answer.fault or not isinstance(answer.plain, str):
        raise InvalidError(problems=(Problem(field=field, sentence=answer.fault or t("care.no_such_day")),))
    return When.parse(answer.plain)


def _day(text: str, habits: Habits) -> date:
    found = _when(text, habits, "planned_on")
    if found is None or found.earliest_day != found.latest_day:
        raise InvalidError(problems=(Problem(field="planned_on", sentence=t("care.no_such_day")),))
    return found.earliest_day


def _result(text: str) -> Result:
    if text not in set(Result):
        raise InvalidError(problems=(Problem(field="result", sentence=t("care.no_such_result")),))
    return Result(text)


def _ahead(text: str) -> Ahead:
    if text not in set(Ahead):
        raise InvalidError(problems=(Problem(field="what", sentence=t("care.no_such_plan")),))
    return Ahead(text)

"""A new plan of rotation: which spots, which books may take turns, what is wished; worked out when it is sent."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response

from ledger.actor import Actor
from ledger.errors import ConflictError, InvalidError, Problem
from ledger.ports import Ledger
from ledger.rules.rotation import BOOKS_MOST, SPOTS_MOST
from ledger.usecases import rotation as work
from ledger.usecases.browse import look_up
from ledger.usecases.care import books_here
from ledger.usecases.rotation_known import known_light
from ledger.when import When
from web.deps import PostedDep, WaitingDep
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.rotation_days import DaysTable, days_table
from web.rotation_form import PAIRS, BookRow, SpotRow, book_row, read_rotation, spot_lit, spot_rows
from web.sender import Sender, SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/rotation"
NEW: Final = f"{PATH}/new"
PlaceAsked = Annotated[str, Query(max_length=200)]


@page("rotation_form.html")
@dataclass(frozen=True, kw_only=True)
class RotationFormPage(Page):
    """What a plan is to be made of."""

    place: str
    places: tuple[tuple[str, str], ...]
    spots: tuple[SpotRow, ...]
    books: tuple[BookRow, ...]
    further: bool
    """There are more books in the place than are offered."""
    days: DaysTable
    pairs: tuple[int, ...]
    typed: Mapping[str, str]
    fresh: bool
    waiting: str
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@router.get(NEW)
def new(by: SenderDep, waiting: WaitingDep, place: PlaceAsked = "") -> Response:
    """The form of a plan: what hangs, and the books of a place that may take turns with it."""
    held = waiting if waiting is not None and waiting.action == NEW else None
    return render(_form(by, held.get("place") if held else place, held))


@router.post(NEW)
def propose(by: SenderDep, posted: PostedDep) -> Response:
    """The plan is worked out and kept, or the form comes back."""
    place = posted.get("place")
    spots, books, *_ = _offered(by.ledger, by.actor, place)
    try:
        made = work.propose_rotation(by.ledger, by.actor, read_rotation(posted, by.habits, spots, books))
    except (InvalidError, ConflictError) as error:
        problems = error.problems if isinstance(error, InvalidError) else (Problem(field="", sentence=str(error)),)
        return render(_form(by, place, posted, problems), status=422)
    return go_to(by.request, f"{PATH}/{made.id}", Told(sentence=t("rotation.proposed_told")))


def _offered(
    ledger: Ledger, actor: Actor, place: str
) -> tuple[tuple[SpotRow, ...], tuple[BookRow, ...], DaysTable, bool]:
    """The spots of what hangs, and the books that may hang: those that do, and those of the place, with their light."""
    spots = spot_rows(look_up(ledger, actor).hung, SPOTS_MOST)
    named = {each.row.book: (each.hung, each.words) for each in spots}
    for each in books_here(ledger, actor, (place,)) if place else ():
        named.setdefault(each.book, (f"{each.title} {each.number}".strip() or each.book, each.place or ""))
    chosen = dict(islice(named.items(), BOOKS_MOST))
    known = known_light(ledger, actor, spots, list(chosen))
    books = tuple(book_row(book, *words, known.books[book]) for book, words in chosen.items())
    days = days_table(known, [(each, each.words) for each in spots], [(each.book, each.name) for each in books])
    return tuple(spot_lit(each, known) for each in spots), books, days, len(named) > len(chosen)


def _offered_days(ledger: Ledger) -> dict[str, str]:
    """From today on, a year in four parts."""
    return {"starts": When.of_day(ledger.clock.today()).label(), "weeks": "13", "count": "4"}


def _form(by: Sender, place: str, posted: Posted | None, problems: Sequence[Problem] = ()) -> RotationFormPage:
    spots, books, days, further = _offered(by.ledger, by.actor, place)
    places = [each for each in look_up(by.ledger, by.actor).tallies.places if each.place]
    return RotationFormPage(
        frame=by.frame.at(Place.WALL),
        place=place,
        places=(
            ("", t("rotation.hung_only")),
            *((each.place or "", f"{each.place} ({each.books})") for each in places),
        ),
        spots=spots,
        books=books,
        further=further,
        days=days,
        pairs=tuple(range(PAIRS)),
        typed=dict(posted.fields) if posted is not None else _offered_days(by.ledger),
        fresh=posted is None,
        waiting=posted.waiting if posted is not None else "",
        problems=tuple(problems),
        faults={each.field: each.sentence for each in problems},
    )

"""Rotation: plans of who hangs when, proposed here, changed by hand, accepted, and their swaps checked off."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.errors import ConflictError, InvalidError, LedgerError, Problem
from ledger.events.placement import Spot
from ledger.rotations import Rotation, Standing
from ledger.usecases import rotation as work
from ledger.usecases.bench import names_of
from ledger.usecases.browse import look_up
from ledger.usecases.rotation_known import known_light
from ledger.usecases.rotation_said import DAYS_MOST
from ledger.usecases.rotation_swap import SwapSaid, do_swap
from ledger.usecases.rotation_what_if import rotation_what_if
from ledger.when import When
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import ask, fresh_key, key_of, refusal, told_of
from web.form_values import Habits, date_read
from web.forms import typed_in
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.rotation_light import percent, spot_words
from web.rotation_lines import (
    BookLine,
    Drawing,
    PlanLine,
    SwapLine,
    book_lines,
    drawing_of,
    largest_hung_words,
    largest_words,
    plan_line,
    swap_lines,
)
from web.rotation_try import TRIED, PlanLit, Tried, plan_lit, tried
from web.sender import Sender, SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/rotation"
ONE: Final = f"{PATH}/{{rotation}}"
KEPT_IN: Final = tuple((each.value, t(f"rotation.kept.{each.value}")) for each in (Spot.BOX, Spot.SAFE))


@page("rotation.html")
@dataclass(frozen=True, kw_only=True)
class RotationsPage(Page):
    """All plans."""

    plans: tuple[PlanLine, ...]


@page("rotation_plan.html")
@dataclass(frozen=True, kw_only=True)
class RotationPage(Page):
    """One plan: drawn, told, changed, checked off."""

    id: str
    title: str
    accepted: bool
    sentence: str
    drawing: Drawing
    lit: PlanLit
    books: tuple[BookLine, ...]
    swaps: tuple[SwapLine, ...]
    next: SwapLine | None
    spots: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, ...], ...]
    names: tuple[tuple[str, str], ...]
    kept_in: tuple[tuple[str, str], ...]
    places: tuple[str, ...]
    typed: Mapping[str, str]
    key: str
    waiting: str
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """What is planned."""
    plans = tuple(map(plan_line, work.look_at_rotations(ledger, actor)))
    return render(RotationsPage(frame=frame.at(Place.WALL), plans=plans))


@router.get(ONE)
def one(sender: SenderDep, waiting: WaitingDep, rotation: str) -> Response:
    """One plan, and with something asked in the address what it would come to in that light."""
    held = waiting if waiting is not None and waiting.action.startswith(f"{PATH}/{rotation}/") else None
    found = work.look_at_rotation(sender.ledger, sender.actor, rotation)
    asked = {name: sender.request.query_params.get(name, "").strip() for name in TRIED}
    try:
        then = rotation_what_if(sender.ledger, sender.actor, rotation, tried(asked))[1] if any(asked.values()) else None
    except InvalidError as error:
        problems = error.problems
        return render(_one(sender, found, held, problems, Tried(asked=asked)), status=422)
    return render(_one(sender, found, held, tried_so=Tried(asked=asked, then=then)))


@router.post(f"{ONE}/change")
def change(sender: SenderDep, posted: PostedDep, rotation: str) -> Response:
    """Who hangs when, as it was put by hand."""
    found = work.look_at_rotation(sender.ledger, sender.actor, rotation)
    rows = tuple(
        tuple(posted.get(f"row.{period}.{spot}", book) for spot, book in enumerate(row))
        for period, row in enumerate(found.rows)
    )
    try:
        work.change_rotation(sender.ledger, sender.actor, rotation, rows)
    except LedgerError as error:
        return _back(sender, found, posted, error)
    return go_to(sender.request, f"{PATH}/{rotation}", Told(sentence=t("rotation.changed_told")))


@router.post(f"{ONE}/accept")
def accept(sender: SenderDep, posted: PostedDep, rotation: str) -> Response:
    """It counts from now on; nothing is written to the ledger."""
    found = work.look_at_rotation(sender.ledger, sender.actor, rotation)
    try:
        work.accept_rotation(sender.ledger, sender.actor, rotation)
    except LedgerError as error:
        return _back(sender, found, posted, error)
    return go_to(sender.request, f"{PATH}/{rotation}", Told(sentence=t("rotation.accepted_told")))


@router.post(f"{ONE}/swap")
def swap(sender: SenderDep, posted: PostedDep, rotation: str) -> Response:
    """It was done: its placements are written as one act."""
    found = work.look_at_rotation(sender.ledger, sender.actor, rotation)
    action = f"{PATH}/{rotation}/swap"
    try:
        asked = ask(action, key_of(sender.ledger, posted), typed_in(posted), posted)
        done = do_swap(sender.ledger, sender.actor, rotation, _said(posted, sender.habits), asked)
    except LedgerError as error:
        return _back(sender, found, posted, error)
    told = Told(sentence=t("rotation.nothing_moved")) if done.recorded is None else told_of(done.recorded, "")
    return go_to(sender.request, f"{PATH}/{rotation}", told)


@router.post(f"{ONE}/off")
def take_away(request: Request, ledger: LedgerDep, actor: ActorDep, rotation: str) -> Response:
    """It is no longer kept."""
    work.take_rotation(ledger, actor, rotation)
    return go_to(request, PATH, Told(sentence=t("rotation.taken_away")))


def _said(posted: Posted, habits: Habits) -> SwapSaid:
    """Raises: InvalidError."""
    number, text, kept = posted.get("number"), posted.get("on"), posted.get("kept_in") or Spot.BOX.value
    answer = date_read(text, habits) if text else None
    problems = []
    if not number.isascii() or not number.isdigit() or len(number) > len(str(DAYS_MOST)):
        problems.append(Problem(field="number", sentence=t("rotation.which_swap")))
    if answer is not None and (answer.fault or not isinstance(answer.plain, str)):
        problems.append(Problem(field="on", sentence=answer.fault or t("rotation.one_day")))
    if kept not in {each for each, _ in KEPT_IN}:
        problems.append(Problem(field="kept_in", sentence=t("rotation.which_kept")))
    if problems:
        raise InvalidError(problems=tuple(problems))
    on = When.parse(str(answer.plain)) if answer is not None else None
    return SwapSaid(number=int(number), on=on, kept_in=Spot(kept), place=posted.get("place") or None)


def _back(sender: Sender, plan: Rotation, posted: Posted, error: LedgerError) -> Response:
    """The page again, with why nothing was done."""
    if isinstance(error, ConflictError):
        problem = Problem(field="", sentence=str(error))
        return render(_one(sender, plan, posted, (problem,)), status=409)
    refused = refusal(error)
    return render(_one(sender, plan, posted, refused.problems), status=refused.status)


def _one(
    sender: Sender,
    plan: Rotation,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
    tried_so: Tried | None = None,
) -> RotationPage:
    ledger, actor = sender.ledger, sender.actor
    names = names_of(ledger, actor, [each.book for each in plan.books])
    own = tuple((each.book, names.get(each.book, each.book)) for each in plan.books)
    known = known_light(ledger, actor, plan.spots, [each.book for each in plan.books])
    swaps = swap_lines(plan, names)
    typed = dict(posted.fields) if posted is not None else {}
    places = tuple(each.place for each in look_up(ledger, actor).tallies.places if each.place)
    return RotationPage(
        frame=sender.frame.at(Place.WALL),
        id=plan.id,
        title=plan_line(plan).title,
        accepted=plan.standing is Standing.ACCEPTED,
        sentence=_sentence(plan),
        drawing=drawing_of(plan, names, known.house.current),
        lit=plan_lit(known, plan, own, tried_so or Tried()),
        books=book_lines(plan, names),
        swaps=swaps,
        next=next((each for each in swaps if each.open), None),
        spots=tuple((each.id, spot_words(each, known.house.current)) for each in plan.spots),
        rows=plan.rows,
        names=own,
        kept_in=KEPT_IN,
        places=places,
        typed={"on": When.of_day(sender.habits.today).label(), **typed},
        key=fresh_key(ledger) if posted is None or problems else key_of(ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=tuple(problems),
        faults={each.field: each.sentence for each in problems},
    )


def _sentence(plan: Rotation) -> str:
    """What it comes to, and how good that is known to be."""
    largest, hung = largest_words(plan), largest_hung_words(plan)
    rests = t("rotation.rests", hung=hung) if hung != largest else ""
    if plan.exact:
        return " ".join(filter(None, (t("rotation.exact", largest=largest), rests)))
    least = percent(plan.least_possible)
    return " ".join(filter(None, (t("rotation.found", largest=largest, least=least), rests)))

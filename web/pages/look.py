"""A guided look at one book: face by face in the order in which hands turn it, then the whole, written as one examination."""

from dataclasses import dataclass, replace
from typing import Annotated, Final

from fastapi import APIRouter, Depends, Query, Request, Response

from ledger.accounts import SignedIn
from ledger.actor import Actor
from ledger.errors import InvalidError, LedgerError, Problem, RuleError
from ledger.usecases.begun import begun, end_look, hold_look
from ledger.usecases.record import Recorded, record
from web.deps import AccountsDep, ActorDep, FrameDep, LedgerDep, PostedDep, SignedInDep, WaitingDep
from web.entering import Fault, ask, faults_listed, fresh_key, key_of, placing, refusal, remember, told_of
from web.entry_cautions import Warned, warned
from web.entry_pages import BookName, names_of
from web.entry_tasks import Asked, book_task
from web.form_showing import Shown
from web.forms import habits_of, typed_in
from web.frame import Frame, Place, Told
from web.look_entry import Looking, flaws_of, ready_of, told_elsewhere
from web.look_ground import Fit, ground_at
from web.look_known import known_at, known_of
from web.look_showing import (
    KnownLine,
    MarksHere,
    NewRow,
    StepLine,
    heard_whole,
    known_lines,
    marks_at,
    named_at,
    new_rows,
    parts_at,
    step_lines,
    summed_up,
)
from web.look_steps import Begun, Step, before, merged, next_to
from web.placing import Ground
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

KIND: Final = "examination"
HINTS: Final = 4
"""How many things there are to look for at each step."""
StepAsked = Annotated[Step | None, Query()]


@page("look.html")
@dataclass(frozen=True, kw_only=True)
class LookPage(Page):
    """One step of the look."""

    book: BookName
    id: str
    step: Step
    steps: tuple[StepLine, ...]
    number: int
    hints: tuple[str, ...]
    known: tuple[KnownLine, ...]
    rest: bool
    """All that is not answered here is as it was."""
    rows: tuple[NewRow, ...]
    marks: MarksHere | None
    ground: Ground | None
    fit: Fit | None
    parts: tuple[Shown, ...]
    summed: tuple[str, ...]
    problems: tuple[Fault, ...]
    cautions: tuple[Warned, ...]
    begun: bool
    """Something of it is held already."""
    key: str
    draft: str
    drafts_done: tuple[str, ...]
    """Names under which a browser may still keep what was sent from other steps."""
    next_entry: int


def looking_at(ledger: LedgerDep, accounts: AccountsDep, who: SignedInDep, actor: ActorDep, book: str) -> Looking:
    """The look at that book, begun or not.

    Raises: ForbiddenError, NotFoundError.
    """
    actor.require_to_write(KIND)
    habits = habits_of(who.person.preferences, ledger.clock)
    task = book_task(ledger, actor, Asked(kind=KIND, books=(book,)), habits)
    held = begun(accounts, book, who.person.id)
    kept = Begun.read(held.fields) if held is not None else Begun(typed={}, key="")
    return Looking(ledger=ledger, task=task, known=known_of(task.looks[0]), habits=habits, begun=kept)


LookingDep = Annotated[Looking, Depends(looking_at)]


@router.get("/books/{book}/look")
def look(book: str, frame: FrameDep, looking: LookingDep, waiting: WaitingDep, step: StepAsked = None) -> Response:
    """The step that was asked for, or the one where the look was put down."""
    asked = step if step in looking.steps else looking.begun.step
    here = asked if asked in looking.steps else looking.steps[0]
    if waiting is not None and waiting.action == _path(book):
        return render(_page(frame, _merged(looking, here, waiting)))
    return render(_page(frame, replace(looking, begun=replace(looking.begun, step=here))))


@router.post("/books/{book}/look")
def turn(  # noqa: PLR0913 - what a request brings along
    book: str,
    request: Request,
    frame: FrameDep,
    accounts: AccountsDep,
    who: SignedInDep,
    actor: ActorDep,
    looking: LookingDep,
    posted: PostedDep,
    step: StepAsked = None,
) -> Response:
    """What was typed is held; then on to another step, back to this one, or into the ledger."""
    do = posted.get("do")
    if do == "anew":
        end_look(accounts, book)
        return go_to(request, _path(book), Told(sentence=t("look.begun_anew"), draft=_drafts(book)))
    here = step if step in looking.steps else looking.steps[0]
    looking = _merged(looking, here, posted)
    problems = flaws_of(looking, here) if do == "next" else ()
    onward = replace(looking, begun=_onward(looking, do if not problems else "", here))
    if not hold_look(accounts, book, who.person.id, onward.begun.fields()) and do != "write":
        problems = (Problem(field="", sentence=t("look.too_long")),)
    if problems:
        return render(_page(frame, looking, problems), status=422)
    if do != "write":
        return go_to(request, f"{_path(book)}?step={onward.begun.step}{_place(do)}")
    return _write(request, frame, looking, accounts, who, actor, posted)


def _merged(looking: Looking, here: Step, posted: Posted) -> Looking:
    """The look with what was just sent, under the key that its form was opened with."""
    typed = {name: values for name, values in typed_in(posted).items() if name not in ("do", "key")}
    known = [each.id for each in known_at(looking.known, here)]
    key = looking.begun.key or key_of(looking.ledger, posted)
    return replace(looking, begun=replace(merged(looking.begun, here, typed, known), key=key))


def _onward(looking: Looking, do: str, here: Step) -> Begun:
    """Where the look goes on."""
    own, steps = looking.begun, looking.steps
    if do in ("next", "skip"):
        return replace(own.after(here, looked=do == "next"), step=next_to(steps, here))
    if do == "back":
        return replace(own, step=before(steps, here))
    if do.startswith("to:"):
        return replace(own, step=next((each for each in steps if each == do.removeprefix("to:")), here))
    return replace(own, step=here)


def _place(do: str) -> str:
    """Where on the page the reader stood."""
    return {"ground": "#ground", "add:defects": "#defects", "add:marks": "#marks"}.get(do, "")


def _write(  # noqa: PLR0913 - who writes what, and how it comes back
    request: Request,
    frame: Frame,
    looking: Looking,
    accounts: AccountsDep,
    who: SignedIn,
    actor: Actor,
    posted: Posted,
) -> Response:
    """The one examination; or the last step again, with what stands in its way."""
    book, key = looking.task.looks[0].row.book, looking.begun.key
    try:
        recorded = _recorded(looking, actor, posted)
    except LedgerError as error:
        refused = refusal(error)
        if refused.key_is_used:
            key = fresh_key(looking.ledger)
            again = replace(looking.begun, key=key)
            hold_look(accounts, book, who.person.id, again.fields())
            looking = replace(looking, begun=again)
        return render(_page(frame, looking, refused.problems), status=refused.status)
    end_look(accounts, book)
    if who.session.phone is None:
        remember(accounts, who, looking.begun.typed, heard_whole(looking, looking.habits))
    return go_to(request, f"/books/{book}/condition", told_of(recorded, _drafts(book)))


def _recorded(looking: Looking, actor: Actor, posted: Posted) -> Recorded:
    """What the ledger wrote; what it refuses is told at the inputs of the look."""
    ready, made = ready_of(looking)
    asked = ask(_path(looking.task.looks[0].row.book), looking.begun.key, made.typed, posted)
    try:
        with placing(ready.heard[0]):
            return record(looking.ledger, actor, ready.drafts, asked)
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=made.placed(error.problems)) from error


def _path(book: str) -> str:
    return f"/books/{book}/look"


def _page(frame: Frame, looking: Looking, problems: tuple[Problem, ...] = ()) -> LookPage:
    step, own = looking.begun.step, looking.task.looks[0]
    problems = tuple(told_elsewhere(each, step, looking) for each in problems)
    ground, fit = ground_at(own, step, looking.begun.typed)
    heard = heard_whole(looking, looking.habits) if step is Step.WHOLE and problems else None
    is_face = step is not Step.WHOLE
    known, rows = known_lines(looking, problems), new_rows(looking, problems) if is_face else ()
    parts, marks = parts_at(looking, problems, heard), marks_at(looking, problems)
    return LookPage(
        frame=frame.at(Place.COLLECTION),
        book=names_of([own])[0],
        id=own.row.book,
        step=step,
        steps=step_lines(looking),
        number=looking.steps.index(step) + 1,
        hints=tuple(t(f"look.hints.{step.value}.{each}") for each in range(1, HINTS + 1)),
        known=known,
        rest=looking.begun.typed.get(f"rest.{step}") == ("same",),
        rows=rows,
        marks=marks,
        ground=ground,
        fit=fit,
        parts=parts,
        summed=summed_up(looking) if not is_face else (),
        problems=faults_listed(problems, named_at(known, (*rows, *(marks.rows if marks else ())), parts)),
        cautions=warned(KIND, looking.begun.typed, _types(looking)),
        begun=bool(looking.begun.key),
        key=looking.begun.key or fresh_key(looking.ledger),
        draft=_draft(own.row.book, step),
        drafts_done=tuple(_draft(own.row.book, each) for each in Step if each is not step),
        next_entry=(frame.entries or 0) + 1,
    )


def _types(looking: Looking) -> list[str]:
    """Of the defects that were seen before and are not gone."""
    return [each.defect.type for each in looking.known if not each.defect.gone]


def _drafts(book: str) -> str:
    """Those of all its steps, which come to their end together."""
    return " ".join(_draft(book, each) for each in Step)


def _draft(book: str, step: Step) -> str:
    """The name under which a browser keeps what is typed at one step."""
    return f"look:{book}:{step}"

"""Runs: every series with what is owned, missing and double; which numbers there are is what the collector says."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response

from ledger.errors import LedgerError, Problem
from ledger.runs import Run
from ledger.usecases import runs as work
from web.deps import PostedDep, WaitingDep
from web.entering import Fault, faults_listed, faults_of, key_of, refusal, refuse_unread
from web.form_showing import Shown, View, labels_of, shown
from web.forms import Heard, Typed, typed_in
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.run_forms import read_run, run_parts, run_typed
from web.run_lines import NumberOwned, RunLine, missing_of, number_owned, run_line
from web.sender import Sender, SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()
"""What a phone may look at."""
keeping = APIRouter()
"""What says which numbers there are."""

PATH: Final = "/runs"
ONE: Final = f"{PATH}/{{run}}"
SHOWN_MOST: Final = 200
DRAFT: Final = "run"

Behind = Annotated[int, Query(ge=0, le=10**7)]


@page("runs.html")
@dataclass(frozen=True, kw_only=True)
class RunsPage(Page):
    """All of them, a page at a time, and the form of one of which nothing is owned yet."""

    said: str
    lines: tuple[RunLine, ...]
    start: str
    after: str
    parts: tuple[Shown, ...]
    key: str
    waiting: str
    problems: tuple[Fault, ...]


@page("run.html")
@dataclass(frozen=True, kw_only=True)
class RunPage(Page):
    """One of them."""

    line: RunLine
    said: str
    missing: str
    owned: tuple[NumberOwned, ...]
    is_said: bool
    """The collector has said which numbers there are."""
    parts: tuple[Shown, ...]
    key: str
    waiting: str
    problems: tuple[Fault, ...]


@router.get(PATH)
def look(by: SenderDep, waiting: WaitingDep, behind: Behind = 0) -> Response:
    """All of them."""
    held = waiting if waiting is not None and waiting.action == PATH else None
    return render(_all(by, View(typed=typed_in(held) if held else {}), held, behind=behind))


@router.get(ONE)
def one(by: SenderDep, waiting: WaitingDep, run: str) -> Response:
    """One of them."""
    found = work.look_at_run(by.ledger, by.actor, run)
    held = waiting if waiting is not None and waiting.action == f"{PATH}/{run}" else None
    return render(_one(by, found, View(typed=typed_in(held) if held else run_typed(found)), held))


@keeping.post(PATH)
def add(by: SenderDep, posted: PostedDep) -> Response:
    """Its numbers are said, or the form comes back."""
    return _state(by, posted, None)


@keeping.post(ONE)
def state(by: SenderDep, posted: PostedDep, run: str) -> Response:
    """Its numbers are these from now on, or the form comes back."""
    return _state(by, posted, work.look_at_run(by.ledger, by.actor, run))


@keeping.post(f"{ONE}/off")
def forget(by: SenderDep, run: str) -> Response:
    """Nothing is said of its numbers any more."""
    found = work.look_at_run(by.ledger, by.actor, run)
    work.forget_run(by.ledger, by.actor, run)
    on = f"{PATH}/{run}" if found.owned else PATH
    return go_to(by.request, on, Told(sentence=t("runs.forgotten", title=found.title)))


def _state(by: Sender, posted: Posted, run: Run | None) -> Response:
    typed = typed_in(posted)
    said, heard = read_run(typed, by.habits, run)
    try:
        refuse_unread(heard, typed)
        assert said is not None
        made = work.state_run(by.ledger, by.actor, said)
    except LedgerError as error:
        return _back(by, posted, run, typed, heard, error)
    return go_to(by.request, f"{PATH}/{made.key}", Told(sentence=t("runs.stated", title=made.title), draft=DRAFT))


def _back(  # noqa: PLR0913 - what came, and why it goes back
    by: Sender, posted: Posted, run: Run | None, typed: Typed, heard: Heard, error: LedgerError
) -> Response:
    refused = refusal(error)
    view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
    if run is None:
        return render(_all(by, view, posted, refused.problems), status=refused.status)
    return render(_one(by, run, view, posted, refused.problems), status=refused.status)


def _all(
    by: Sender, view: View, posted: Posted | None, problems: Sequence[Problem] = (), *, behind: int = 0
) -> RunsPage:
    runs = work.look_at_runs(by.ledger, by.actor)
    parts = shown(run_parts(), view)
    more = behind + SHOWN_MOST < len(runs)
    return RunsPage(
        frame=by.frame.at(Place.COLLECTION),
        said=t.n("runs.count", len(runs)),
        lines=tuple(map(run_line, runs[behind : behind + SHOWN_MOST])),
        start=PATH if behind else "",
        after=f"{PATH}?behind={behind + SHOWN_MOST}" if more else "",
        parts=parts,
        key=key_of(by.ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels_of(parts)),
    )


def _one(by: Sender, run: Run, view: View, posted: Posted | None, problems: Sequence[Problem] = ()) -> RunPage:
    parts = shown(run_parts(whole=False), view)
    return RunPage(
        frame=by.frame.at(Place.COLLECTION),
        line=run_line(run),
        said=_said(run),
        missing=missing_of(run),
        owned=tuple(map(number_owned, run.owned)),
        is_said=run.printed is not None,
        parts=parts,
        key=key_of(by.ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels_of(parts)),
    )


def _said(run: Run) -> str:
    """How much of it is owned."""
    exist = len(run.lines) - len(run.strange)
    if run.printed is None:
        said = t.n("runs.owned_of_unknown", len(run.owned))
    else:
        said = t.n("runs.owned_of", exist, owned=str(len(run.owned) - len(run.strange)))
    return f"{said} {t.n('runs.double_count', len(run.double))}" if run.double else said

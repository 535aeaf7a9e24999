"""Wants: copies that are looked for, each with its limits; the list prints, and goes along as one file."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import LedgerError, NotFoundError, Problem
from ledger.usecases import wants as work
from web.deps import ActorDep, LedgerDep, PostedDep, WaitingDep
from web.entering import Fault, faults_listed, faults_of, key_of, refusal, refuse_unread
from web.form_showing import Shown, View, labels_of, shown
from web.forms import typed_in
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.run_forms import read_want, want_parts, want_typed
from web.run_lines import RunLine, WantLine, missing_of, run_line, want_line
from web.sender import Sender, SenderDep
from web.told import go_to
from web.want_file import want_file
from web.wording import t

router = APIRouter()
"""What a phone may look at."""
keeping = APIRouter()
"""What is wanted from now on, or no more."""

PATH: Final = "/wants"
FILE: Final = f"{PATH}/list.html"
ONE: Final = f"{PATH}/{{want}}"
DRAFT: Final = "want"


@page("wants.html")
@dataclass(frozen=True, kw_only=True)
class WantsPage(Page):
    """What is looked for, what runs miss, what is met; and the form of one."""

    said: str
    open: tuple[WantLine, ...]
    met: tuple[WantLine, ...]
    runs: tuple[tuple[RunLine, str], ...]
    """Each with the numbers that it misses."""
    want: WantLine | None
    """The one that is changed."""
    parts: tuple[Shown, ...]
    key: str
    waiting: str
    problems: tuple[Fault, ...]


@router.get(PATH)
def look(by: SenderDep, waiting: WaitingDep, change: str = "") -> Response:
    """All of them, with the form of a new one, or of the one that is to be changed."""
    action = f"{PATH}/{change}" if change else PATH
    held = waiting if waiting is not None and waiting.action in (PATH, action) else None
    found = work.look_at_wants(by.ledger, by.actor)
    want = next((each for each in found.wants if each.id == change), None) if change else None
    if change and want is None:
        raise NotFoundError(what="want", name=change)
    typed = typed_in(held) if held else want_typed(want, by.habits) if want is not None else {}
    return render(_page(by, found, want, View(typed=typed), held))


@router.get(FILE)
def take(ledger: LedgerDep, actor: ActorDep) -> Response:
    """The list as one file."""
    data = want_file(work.look_at_wants(ledger, actor), ledger.clock.now())
    headers = {"Content-Disposition": f'attachment; filename="wants-{ledger.clock.today().isoformat()}.html"'}
    return Response(data, media_type="text/html; charset=utf-8", headers=headers)


@keeping.post(PATH)
def add(by: SenderDep, posted: PostedDep) -> Response:
    """It is wanted from now on, or the form comes back."""
    return _keep(by, posted, None)


@keeping.post(ONE)
def change(by: SenderDep, posted: PostedDep, want: str) -> Response:
    """It is changed, or the form comes back."""
    return _keep(by, posted, want)


@keeping.post(f"{ONE}/off")
def take_away(by: SenderDep, want: str) -> Response:
    """It is wanted no more."""
    work.take_want(by.ledger, by.actor, want)
    return go_to(by.request, PATH, Told(sentence=t("wants.off_now")))


def _keep(by: Sender, posted: Posted, id: str | None) -> Response:  # noqa: A002 - which it is
    typed = typed_in(posted)
    said, heard = read_want(typed, by.habits)
    try:
        refuse_unread(heard, typed)
        assert said is not None
        made = work.keep_want(by.ledger, by.actor, said, id)
    except LedgerError as error:
        refused = refusal(error)
        found = work.look_at_wants(by.ledger, by.actor)
        want = next((each for each in found.wants if each.id == id), None)
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        return render(_page(by, found, want, view, posted, refused.problems), status=refused.status)
    told = Told(sentence=t("wants.kept", name=f"{made.said.title} {made.said.number}"), draft=DRAFT)
    return go_to(by.request, PATH, told)


def _page(  # noqa: PLR0913 - the parts of one page
    by: Sender,
    found: work.WantList,
    want: work.Want | None,
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
) -> WantsPage:
    parts = shown(want_parts(), view)
    return WantsPage(
        frame=by.frame.at(Place.COLLECTION),
        said=t.n("wants.count", len(found.open)),
        open=tuple(map(want_line, found.open)),
        met=tuple(want_line(each) for each in found.wants if each.is_met),
        runs=tuple((run_line(each), missing_of(each)) for each in found.runs),
        want=want_line(want) if want is not None else None,
        parts=parts,
        key=key_of(by.ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels_of(parts)),
    )

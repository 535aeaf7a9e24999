"""The hanging plan of a wall: a page that is made to be printed, and the same as a PDF where that can be made."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.errors import InvalidError, Problem
from ledger.ports import Ledger
from ledger.rules.cautions import Caution, caution
from ledger.usecases.places import look_at_places, wall_in
from web.deps import ActorDep, FrameDep, LedgerDep
from web.elevation import whole_wall
from web.frame import Place, Told
from web.hang_rows import measure
from web.hanging_plan import DROP_MOST_CM, HangingPlan, PlanLine, data_of, plan_of
from web.render import Page, page, render
from web.report_sheet import source
from web.told import go_to
from web.wall_names import named_wall
from web.wall_shapes import Elevation
from web.wording import t

router = APIRouter()

Drop = Annotated[str, Query(max_length=20)]
FILE: Final = "slipsheet-hanging-plan.pdf"


@page("hanging_plan.html")
@dataclass(frozen=True, kw_only=True)
class PlanPage(Page):
    """The plan."""

    path: str
    title: str
    lede: str
    running: str
    drawn: Elevation
    columns: tuple[str, ...]
    lines: tuple[PlanLine, ...]
    notes: tuple[str, ...]
    caution: Caution
    drop: str
    fault: str
    pdf: bool
    """It can be taken as a PDF."""


@router.get("/wall/{room}/{wall}/plan")
def look(  # noqa: PLR0913 - what a request brings along
    room: str, wall: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, drop: Drop = ""
) -> Response:
    """The plan as a page; `drop` is how far below its upper edge each hangs on its hook. Units: cm."""
    plan, title, drawn = _plan(ledger, actor, room, wall, drop)
    shown = PlanPage(
        frame=frame.at(Place.WALL),
        path=f"/wall/{room}/{wall}/plan",
        title=title,
        lede=_lede(plan),
        running=_running(ledger),
        drawn=drawn,
        columns=plan.columns,
        lines=plan.lines,
        notes=tuple(_notes(plan)),
        caution=caution("lifting"),
        drop=drop,
        fault=t("plan.no_drop", most=f"{DROP_MOST_CM}") if drop.strip() and not plan.has_hooks else "",
        pdf=ledger.sheets is not None and ledger.sheets.at_hand,
    )
    return render(shown)


@router.get("/wall/{room}/{wall}/plan.pdf")
def pdf(  # noqa: PLR0913 - what a request brings along
    room: str, wall: str, request: Request, ledger: LedgerDep, actor: ActorDep, drop: Drop = ""
) -> Response:
    """The plan as a PDF; the page again, with the reason, where none can be made."""
    plan, title, _ = _plan(ledger, actor, room, wall, drop)
    if ledger.sheets is None or not ledger.sheets.at_hand:
        return go_to(request, f"/wall/{room}/{wall}/plan", Told(sentence=t("report.refused")))
    if drop.strip() and not plan.has_hooks:
        sentence = t("plan.no_drop", most=f"{DROP_MOST_CM}")
        raise InvalidError(problems=(Problem(field="drop", sentence=sentence),))
    of = caution("lifting")
    notes = [*_notes(plan), f"{of.title}: {of.text}"]
    data = data_of(plan, title=title, lede=_lede(plan), running=_running(ledger), notes=notes)
    made = ledger.sheets.pdf(source("plan"), data, {}, _last(ledger).recorded)
    headers = {"Content-Disposition": f'attachment; filename="{FILE}"'}
    return Response(made, media_type="application/pdf", headers=headers)


def _plan(ledger: Ledger, actor: Actor, room: str, wall: str, drop: str) -> tuple[HangingPlan, str, Elevation]:
    places = look_at_places(ledger, actor)
    own, found = wall_in(places, room, wall)
    read = measure(drop)
    drop_cm = Decimal(read) if read is not None and Decimal(read) <= DROP_MOST_CM else None
    named = named_wall(places.by_id, room, wall, places.on_wall(room, wall))
    drawn = whole_wall(named, float(found.width_cm), float(found.height_cm), places.reach)
    return plan_of(places, own.event, found, drop_cm), t("plan.title", wall=named.title), drawn


def _lede(plan: HangingPlan) -> str:
    return t.n("plan.lede", len(plan.lines), width=plan.wall.width_cm, height=plan.wall.height_cm)


def _running(ledger: Ledger) -> str:
    return t("plan.running", size=_last(ledger).seq)


def _last(ledger: Ledger) -> Entry:
    """The entry up to which the plan tells; the same ledger gives the same sheet."""
    with ledger.log.read() as reader:
        return reader.entry(reader.head().size)


def _notes(plan: HangingPlan) -> list[str]:
    """What is not known of these measures."""
    notes = [t("plan.counted")]
    if any(each.holder for each in plan.lines):
        notes.append(t("plan.holders"))
    if any(not each.measured and not each.holder for each in plan.lines):
        notes.append(t("plan.not_measured"))
    if plan.beside:
        notes.append(t("plan.beside", books=", ".join(plan.beside)))
    if plan.wall.outer:
        notes.append(t("wall_light.outer"))
    return notes

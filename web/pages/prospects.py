"""Prospects: books that were looked at and not bought yet, or passed up; a new one, and what is changed of one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import InvalidError, MalformedError, Problem
from ledger.market import Prospect, Verdict
from ledger.usecases import prospects as work
from ledger.usecases.prospect_writes import add_pictures
from web import filters
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import Fault, added_row, faults_listed, faults_of, refuse_unread
from web.form_showing import Block, Field, View, labels_of
from web.forms import Heard, Typed, typed_in
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.prospect_form import read_prospect, shown_prospect, typed_of
from web.prospect_told import hundred
from web.render import Page, page, render
from web.sender import SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/prospects"
NEW: Final = f"{PATH}/new"
FILES: Final = "pictures"


@dataclass(frozen=True, kw_only=True)
class ProspectLine:
    """One of them in the list."""

    href: str
    title: str
    number: str
    asking: str
    stated: str
    outlook: str
    """The likeliest step of the collector's own outlook, in words; empty for none."""
    since: str
    why: str = ""


@page("prospects.html")
@dataclass(frozen=True, kw_only=True)
class ProspectsPage(Page):
    """Those that are open, those that were passed up, those that were bought."""

    open: tuple[ProspectLine, ...]
    passed_up: tuple[ProspectLine, ...]
    bought: tuple[ProspectLine, ...]


@page("prospect_form.html")
@dataclass(frozen=True, kw_only=True)
class ProspectFormPage(Page):
    """The form of one: new, changed, or as it is bought."""

    title: str
    lede: str
    action: str
    draft: str
    first: tuple[Field, ...]
    lines: tuple[Field | Block, ...]
    with_files: bool
    button: str
    note: str
    key: str
    waiting: str
    problems: tuple[Fault, ...]
    back: str


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """All of them."""
    found = work.look_at_prospects(ledger, actor)

    def lines(verdict: Verdict) -> tuple[ProspectLine, ...]:
        return tuple(_line(each) for each in found if each.verdict is verdict)

    of = [lines(each) for each in (Verdict.OPEN, Verdict.PASSED_UP, Verdict.BOUGHT)]
    return render(ProspectsPage(frame=framed(frame), open=of[0], passed_up=of[1], bought=of[2]))


@router.get(NEW)
def new(frame: FrameDep, waiting: WaitingDep) -> Response:
    """A blank form, or what had been typed into it."""
    typed = typed_in(waiting) if waiting is not None and waiting.action == NEW else {}
    return render(_form(frame, None, View(typed=typed, focus="issue.title"), waiting))


@router.post(NEW)
def keep(by: SenderDep, posted: PostedDep) -> Response:
    """It is kept, or the form comes back with what stands in its way."""
    typed = typed_in(posted)
    if more := added_row(typed):
        return render(_form(by.frame, None, View(typed=typed, more=more), posted))
    said, heard = read_prospect(typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed, FILES)
        assert said is not None
        made = work.keep_prospect(by.ledger, by.actor, said, [each.data for each in posted.files(FILES)])
    except (InvalidError, MalformedError) as error:
        return _back(by.frame, None, typed, heard, posted, error)
    return go_to(by.request, f"{PATH}/{made.id}", Told(sentence=t("prospects.kept"), draft="prospect"))


@router.get(f"{PATH}/{{prospect}}/change")
def form(by: SenderDep, waiting: WaitingDep, prospect: str) -> Response:
    """The form of one as it stands."""
    found = work.look_at_prospect(by.ledger, by.actor, prospect).prospect
    action, habits = f"{PATH}/{prospect}/change", by.habits
    waits = waiting is not None and waiting.action == action
    typed = typed_in(waiting) if waits and waiting is not None else typed_of(found, habits, by.ledger.codec)
    return render(_form(by.frame, found, View(typed=typed), waiting))


@router.post(f"{PATH}/{{prospect}}/change")
def change(by: SenderDep, posted: PostedDep, prospect: str) -> Response:
    """It says this from now on, with the pictures that came along."""
    found, typed = work.look_at_prospect(by.ledger, by.actor, prospect).prospect, typed_in(posted)
    if more := added_row(typed):
        return render(_form(by.frame, found, View(typed=typed, more=more), posted))
    said, heard = read_prospect(typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed, FILES)
        assert said is not None
        if files := posted.files(FILES):
            add_pictures(by.ledger, by.actor, prospect, [each.data for each in files])
        work.change_prospect(by.ledger, by.actor, prospect, said)
    except (InvalidError, MalformedError) as error:
        return _back(by.frame, found, typed, heard, posted, error)
    told = Told(sentence=t("prospects.changed"), draft=f"prospect-{prospect}")
    return go_to(by.request, f"{PATH}/{prospect}", told)


def _back(  # noqa: PLR0913 - a form that comes back
    frame: Frame,
    found: Prospect | None,
    typed: Typed,
    heard: Heard,
    posted: Posted,
    error: InvalidError | MalformedError,
) -> Response:
    """The form with what stands in its way, each at its field."""
    if isinstance(error, InvalidError):
        named = {"asking": "price"}
        problems = tuple(
            Problem(field=named.get(each.field, each.field), sentence=each.sentence, entries=each.entries)
            for each in error.problems
        )
    else:
        problems = (Problem(field=FILES, sentence=str(error)),)
    view = View(typed=typed, heard=heard, faults=faults_of(problems))
    return render(_form(frame, found, view, posted, problems), status=422)


def _form(
    frame: Frame, found: Prospect | None, view: View, posted: Posted | None, problems: Sequence[Problem] = ()
) -> ProspectFormPage:
    first, lines = shown_prospect(view)
    labels = {FILES: t("prospects.pictures"), **labels_of([*first, *lines])}
    return ProspectFormPage(
        frame=framed(frame),
        title=str(found.issue) if found else t("prospects.new"),
        lede=t("prospects.form_lede"),
        action=f"{PATH}/{found.id}/change" if found else NEW,
        draft=f"prospect-{found.id}" if found else "prospect",
        first=first,
        lines=lines,
        with_files=True,
        button=t("prospects.keep"),
        note=t("prospects.beside"),
        key="",
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels),
        back=f"{PATH}/{found.id}" if found else PATH,
    )


def _line(each: Prospect) -> ProspectLine:
    likely = max(each.weights, key=lambda weight: (weight.per_mille, -weight.grade.step), default=None)
    return ProspectLine(
        href=f"{PATH}/{each.id}",
        title=each.issue.title,
        number=each.issue.number,
        asking=filters.money(each.asking) if each.asking else "",
        stated=str(each.stated) if each.stated else "",
        outlook=t("prospects.likely", grade=likely.grade, chance=hundred(likely.per_mille)) if likely else "",
        since=filters.moment(each.decided or each.made),
        why=each.why if each.verdict is Verdict.PASSED_UP else "",
    )


def framed(frame: Frame) -> Frame:
    """With the word of the ruler under which prospects lie."""
    return frame.at(Place.COLLECTION)

"""Barcode: photographed or typed, it leads to the own copies of its issue, or a purchase begins with it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor, Permission
from ledger.barcodes import Barcode, Proposal, read_barcode
from ledger.errors import InvalidError, LedgerError, MalformedError, Problem
from ledger.events._parts import Issue
from ledger.ports import Ledger
from ledger.usecases.barcodes import BarcodeLook, forget_barcode, keep_barcode, look_at_barcode, read_picture
from ledger.views import BookQuery, BookRow
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import faults_of
from web.frame import Frame, Place, Told
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

__all__ = ["PATH", "BarcodePage", "keeping", "router", "to_barcode"]

router = APIRouter()
keeping = APIRouter()
"""What a paired phone is turned away from."""

PATH: Final = "/barcode"
NAMED_MOST: Final = 12
"""Books that are offered for a code at once."""
Words = Annotated[str, Query(max_length=200)]


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A code as it was asked for, and the words by which its book is looked for."""

    code: str = ""
    q: str = ""
    several: tuple[Barcode, ...] = ()
    """What a picture shows, where that is more than one code."""
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Line:
    """A book that has the code, or may have it."""

    book: str
    name: str
    state: str


@page("barcode.html")
@dataclass(frozen=True, kw_only=True)
class BarcodePage(Page):
    """What a code leads to."""

    typed: str
    q: str
    code: str
    """The code in its one spelling; empty while there is none."""
    digits: str
    add_on: str
    taken_for: str
    """What the digits beside it are mostly taken for; empty where that is nothing."""
    issue: str
    remembered: bool
    own: tuple[Line, ...]
    offered: tuple[Line, ...]
    several: tuple[tuple[str, str], ...]
    may_buy: bool
    may_keep: bool
    faults: Mapping[str, str]


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, code: Words = "", q: Words = "") -> Response:
    """The form; with a code, what it leads to."""
    return _answer(frame, ledger, actor, Asked(code=code.strip(), q=q))


@router.post(PATH)
def photographed(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The code of a photograph, of which nothing is kept."""
    files = posted.files("file")
    sentence = t("barcode.no_file") if not files else ""
    found: tuple[Barcode, ...] = ()
    try:
        found = read_picture(ledger, actor, files[0].data) if files else ()
        sentence = sentence or ("" if found else t("barcode.none_seen"))
    except InvalidError as error:
        sentence = str(error)
    if len(found) == 1:
        return go_to(request, to_barcode(found[0]))
    problems = (Problem(field="file", sentence=sentence),) if sentence else ()
    return _answer(frame, ledger, actor, Asked(several=found, problems=problems))


@keeping.post(f"{PATH}/keep")
def keep(request: Request, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The code is remembered for the issue of a book."""
    barcode = read_barcode(posted.get("code"))
    found = keep_barcode(ledger, actor, barcode, posted.get("book"))
    return go_to(request, to_barcode(barcode), Told(sentence=t("barcode.kept", issue=str(found.issue))))


@keeping.post(f"{PATH}/forget")
def forget(request: Request, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The code leads to nothing any more."""
    barcode = read_barcode(posted.get("code"))
    forget_barcode(ledger, actor, barcode)
    return go_to(request, to_barcode(barcode), Told(sentence=t("barcode.forgotten")))


def to_barcode(barcode: Barcode, path: str = PATH, name: str = "code") -> str:
    """The address of what a code leads to, or of another page that takes one."""
    return f"{path}?{urlencode({name: barcode.code})}"


def _answer(frame: Frame, ledger: Ledger, actor: Actor, asked: Asked) -> Response:
    found: BarcodeLook | None = None
    problems = asked.problems
    if asked.code:
        try:
            found = look_at_barcode(ledger, actor, read_barcode(asked.code))
        except MalformedError as error:
            problems = (*problems, Problem(field="code", sentence=str(error)))
    shown = _page(frame, ledger, actor, asked, found, problems)
    return render(shown, status=422 if problems else 200)


def _page(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    asked: Asked,
    found: BarcodeLook | None,
    problems: tuple[Problem, ...],
) -> BarcodePage:
    may_keep = actor.may(Permission.RECORD) and not frame.phone
    own = found.books if found is not None else ()
    return BarcodePage(
        frame=frame.at(Place.COLLECTION),
        typed=asked.code,
        q=asked.q,
        code=found.barcode.code if found else "",
        digits=str(found.barcode) if found else "",
        add_on=found.barcode.add_on if found else "",
        taken_for=_taken_for(found.proposal) if found and found.proposal else "",
        issue=_issue(found.issue) if found and found.issue else "",
        remembered=found is not None and found.remembered,
        own=tuple(map(_line, own)),
        offered=tuple(map(_line, _offered(ledger, asked.q))) if found and may_keep else (),
        several=tuple((to_barcode(each), str(each)) for each in asked.several),
        may_buy=actor.may_write("purchase") and not frame.phone,
        may_keep=may_keep,
        faults=faults_of(problems),
    )


def _offered(ledger: Ledger, words: str) -> list[BookRow]:
    """Books that are looked for by words."""
    if not words.strip():
        return []
    with ledger.log.read() as reader:
        try:
            return reader.books(BookQuery(text=words, limit=NAMED_MOST)).rows
        except LedgerError:  # more words than a search may have
            return []


def _line(row: BookRow) -> Line:
    return Line(book=row.book, name=t("barcode.copy", title=row.title, number=row.number, no=row.no), state=row.state)


def _taken_for(proposal: Proposal) -> str:
    said = [t("barcode.taken.number", number=proposal.number)]
    if proposal.cover is not None:
        said.append(t("barcode.taken.cover", cover=proposal.cover))
    if proposal.printing is not None:
        said.append(t("barcode.taken.printing", printing=proposal.printing))
    if proposal.month is not None:
        said.append(t("barcode.taken.month", month=t(f"barcode.months.{proposal.month}")))
    return ", ".join(said)


def _issue(issue: Issue) -> str:
    more = [str(each) for each in (issue.start_year, issue.publisher, issue.variant) if each]
    more += [issue.cover_date.label()] if issue.cover_date else []
    more += [t("barcode.taken.printing", printing=issue.printing)] if issue.printing else []
    return f"{issue} ({', '.join(more)})" if more else str(issue)

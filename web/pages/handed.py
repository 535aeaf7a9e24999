"""A record at an address that expires and can be ended: read without signing in, with its photographs large."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.proof.sheet import Picture, Sheet
from ledger.usecases.came_back import CameBack, checkpoint_in, come_back, with_growth
from ledger.usecases.doorbook import Came, note
from ledger.usecases.earlier_seen import EarlierSeen
from ledger.usecases.hand_on import Form, Shown, count_opening, given_parts, picture_in, shown_at, with_pictures
from web.deps import LedgerDep, TriesDep, body_of
from web.entering import Fault, faults_listed
from web.frame import Frame
from web.pages.disclose import FILES, file_answer, sheets_made
from web.posted import Upload, read_form
from web.refusals import TooLargeError
from web.render import Page, page, render
from web.throttle import Tries
from web.wording import t

router = APIRouter()

PAIR: Final = 2
Held = Annotated[int, Query(ge=0, le=2**53)]
"""Entries that the checkpoint speaks of which the reader holds from before."""
HELD_MOST: Final = 32 * 1024 * 1024
"""Bytes that a reader may send here: half of what a form of the owner may have, since anybody with the address sends it. A
record with more photographs than that is held against the ledger without them. Our assumption."""
NOT_HERE: Final = 404
TOO_LARGE: Final = 413


@page("handed.html")
@dataclass(frozen=True, kw_only=True)
class HandedPage(Page):
    """The record, and the files to take along."""

    at: str
    sheets_made: bool
    """A PDF can be made here."""
    sheets: tuple[tuple[str, Sheet], ...]
    seen: tuple[EarlierSeen, ...]
    """What a check without a key finds in each: the record first."""
    lost: int
    """How many pieces it names that are not kept here."""
    back: CameBack | None = None
    """What somebody holds from before, held against the ledger as it is now."""
    problems: tuple[Fault, ...] = ()


@page("handed_compare.html")
@dataclass(frozen=True, kw_only=True)
class ComparePage(Page):
    """Two photographs of the record."""

    at: str
    title: str
    options: tuple[tuple[str, str], ...]
    before: str
    after: str
    two: bool
    """There are two to hold against each other."""


@router.get("/handed/{secret}")
def read(ledger: LedgerDep, tries: TriesDep, secret: str) -> Response:
    """The record, for whoever has its address; a wrong one is counted and learns nothing."""
    shown = _at(ledger, tries, secret)
    count_opening(ledger, secret)
    return render(_page(ledger, secret, shown))


@dataclass(frozen=True, kw_only=True)
class Sent:
    """The record at the address, and the file that a reader sent to it; null where it was too large to be read."""

    shown: Shown
    file: Upload | None


async def _sent(request: Request, ledger: LedgerDep, tries: TriesDep, secret: str) -> Sent:
    """The address is looked at first: of what is sent to one that is wrong, ended or expired, nothing is read.

    Raises: NotFoundError, TooManyTriesError, MalformedError.
    """
    shown = await run_in_threadpool(_at, ledger, tries, secret)
    try:
        data = await body_of(request, HELD_MOST)
    except TooLargeError:
        return Sent(shown=shown, file=None)
    files = read_form(request.headers.get("content-type", ""), data).files("file")
    return Sent(shown=shown, file=next(iter(files), Upload(name="", data=b"")))


SentDep = Annotated[Sent, Depends(_sent)]


@router.post("/handed/{secret}/held")
def hold(ledger: LedgerDep, sent: SentDep, secret: str) -> Response:
    """A file that the reader holds from before, held against the ledger as it is now; nothing of it is kept."""
    if sent.file is None:
        problem = Problem(field="file", sentence=t("handed.too_large", most=HELD_MOST // 1024**2))
        return render(_page(ledger, secret, sent.shown, problems=[problem]), status=TOO_LARGE)
    try:
        back = come_back(ledger, checkpoint_in(sent.file.data))
    except InvalidError as error:
        return render(_page(ledger, secret, sent.shown, problems=error.problems), status=422)
    return render(_page(ledger, secret, sent.shown, back=back))


@router.get("/handed/{secret}/photographs/{sha256}")
def photograph(ledger: LedgerDep, tries: TriesDep, secret: str, sha256: str) -> Response:
    """A photograph of that record as it goes with it, and no other."""
    shown = _at(ledger, tries, secret)
    return Response(picture_in(ledger, shown, sha256), media_type=shown.media[sha256])


@router.get("/handed/{secret}/compare")
def compare(ledger: LedgerDep, tries: TriesDep, secret: str, before: str = "", after: str = "") -> Response:
    """Two of its photographs, beside each other and laid over each other."""
    sheet = _at(ledger, tries, secret).file.sheet
    shown = {
        block.sha256: block.words for each in sheet.sections for block in each.blocks if isinstance(block, Picture)
    }
    names = [*shown, "", ""]
    drawn = ComparePage(
        frame=Frame(path="/handed"),
        at=f"/handed/{secret}",
        title=sheet.title,
        options=tuple(shown.items()),
        before=before if before in shown else names[0],
        after=after if after in shown else names[1],
        two=len(shown) >= PAIR,
    )
    return render(drawn) if drawn.two else render(drawn, status=NOT_HERE)


@router.get("/handed/{secret}/{form}")
def take(ledger: LedgerDep, tries: TriesDep, secret: str, form: Form, held: Held = 0) -> Response:
    """The record in one of its forms, as a file; with the growth since so many entries, where that is asked for."""
    made = with_growth(ledger, with_pictures(ledger, _at(ledger, tries, secret)), held)
    ending, kind = FILES[form]
    name = f"record-{made.kept.sha256[:12]}.{ending}"
    return file_answer(given_parts(ledger, made, form), kind, name)


def _page(
    ledger: Ledger, secret: str, shown: Shown, *, back: CameBack | None = None, problems: Sequence[Problem] = ()
) -> HandedPage:
    return HandedPage(
        frame=Frame(path="/handed"),
        at=f"/handed/{secret}",
        sheets_made=sheets_made(ledger),
        sheets=shown.sheets,
        seen=shown.seen,
        lost=len(shown.lost),
        back=back,
        problems=faults_listed(problems, {}),
    )


def _at(ledger: Ledger, tries: Tries, secret: str) -> Shown:
    """The record, none of its photographs read.

    Raises: NotFoundError; TooManyTriesError instead, where wrong addresses came from there again and again.
    """
    try:
        return shown_at(ledger, secret)
    except NotFoundError:
        note(Came.RECORD_LINK_REFUSED, address=tries.address)
        tries.miss()
        raise

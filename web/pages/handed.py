"""A record at an address that expires and can be ended: read without signing in, with its photographs large."""

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response

from ledger.errors import InvalidError, NotFoundError
from ledger.ports import Ledger
from ledger.proof.sheet import Picture, Sheet
from ledger.usecases.came_back import CameBack, checkpoint_in, come_back, with_growth
from ledger.usecases.doorbook import Came, note
from ledger.usecases.hand_on import Form, Made, count_opening, given_parts, record_at
from web.deps import LedgerDep, PostedDep, TriesDep
from web.entering import Fault, faults_listed
from web.frame import Frame
from web.pages.disclose import FILES, sent, sheets_made
from web.render import Page, page, render
from web.throttle import Tries

router = APIRouter()

PAIR: Final = 2
Held = Annotated[int, Query(ge=0, le=2**53)]
"""Entries that the checkpoint speaks of which the reader holds from before."""
HEADERS: Final = {"Referrer-Policy": "no-referrer", "X-Robots-Tag": "noindex, nofollow", "Cache-Control": "no-store"}
"""The address is the secret: it goes to no other site, into no index and into no cache."""


@page("handed.html")
@dataclass(frozen=True, kw_only=True)
class HandedPage(Page):
    """The record, and the files to take along."""

    at: str
    sheets_made: bool
    """A PDF can be made here."""
    sheets: tuple[tuple[str, Sheet], ...]
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


@router.get("/handed/{secret}")
def read(ledger: LedgerDep, tries: TriesDep, secret: str) -> Response:
    """The record, for whoever has its address; a wrong one is counted and learns nothing."""
    made = _at(ledger, tries, secret)
    count_opening(ledger, secret)
    at = f"/handed/{secret}"
    answer = render(HandedPage(frame=Frame(path="/handed"), at=at, sheets_made=sheets_made(ledger), sheets=made.sheets))
    answer.headers.update(HEADERS)
    return answer


@router.post("/handed/{secret}/held")
def hold(ledger: LedgerDep, tries: TriesDep, posted: PostedDep, secret: str) -> Response:
    """A file that the reader holds from before, held against the ledger as it is now; nothing of it is kept."""
    made = _at(ledger, tries, secret)
    file = next(iter(posted.files("file")), None)
    back: CameBack | None = None
    problems: tuple[Fault, ...] = ()
    try:
        back = come_back(ledger, checkpoint_in(file.data if file else b""))
    except InvalidError as error:
        problems = faults_listed(error.problems, {})
    shown = HandedPage(
        frame=Frame(path="/handed"),
        at=f"/handed/{secret}",
        sheets_made=sheets_made(ledger),
        sheets=made.sheets,
        back=back,
        problems=problems,
    )
    answer = render(shown, status=422 if problems else 200)
    answer.headers.update(HEADERS)
    return answer


@router.get("/handed/{secret}/photographs/{sha256}")
def photograph(ledger: LedgerDep, tries: TriesDep, secret: str, sha256: str) -> Response:
    """A photograph of that record as it goes with it, and no other."""
    made = _at(ledger, tries, secret)
    return Response(made.picture(sha256), media_type=made.media[sha256], headers=HEADERS)


@router.get("/handed/{secret}/compare")
def compare(ledger: LedgerDep, tries: TriesDep, secret: str, before: str = "", after: str = "") -> Response:
    """Two of its photographs, beside each other and laid over each other."""
    made = _at(ledger, tries, secret)
    sheet = made.file.sheet
    shown = {
        block.sha256: block.words for each in sheet.sections for block in each.blocks if isinstance(block, Picture)
    }
    names = list(shown)
    if len(names) < PAIR:
        raise NotFoundError(what="pair of photographs", name="of this record")
    answer = render(
        ComparePage(
            frame=Frame(path="/handed"),
            at=f"/handed/{secret}",
            title=sheet.title,
            options=tuple(shown.items()),
            before=before if before in shown else names[0],
            after=after if after in shown else names[1],
        )
    )
    answer.headers.update(HEADERS)
    return answer


@router.get("/handed/{secret}/{form}")
def take(ledger: LedgerDep, tries: TriesDep, secret: str, form: Form, held: Held = 0) -> Response:
    """The record in one of its forms, as a file; with the growth since so many entries, where that is asked for."""
    made = with_growth(ledger, _at(ledger, tries, secret), held)
    ending, kind = FILES[form]
    name = f"record-{made.kept.sha256[:12]}.{ending}"
    return sent(given_parts(ledger, made, form), kind, name, HEADERS)


def _at(ledger: Ledger, tries: Tries, secret: str) -> Made:
    try:
        return record_at(ledger, secret)
    except NotFoundError:
        note(Came.RECORD_LINK_REFUSED, address=tries.address)
        tries.count()
        raise

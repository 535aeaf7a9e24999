"""The record of a book for its next owner: chosen, seen before it is made, made, given away."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from fastapi import APIRouter, Request, Response
from fastapi.responses import StreamingResponse

from ledger.actor import Actor
from ledger.errors import InvalidError, LedgerError, NotFoundError, StaleError
from ledger.handing import KeptRecord, Link
from ledger.ports import Ledger
from ledger.proof.sheet import Sheet
from ledger.usecases.choose import Preview, Wish, choices, preview
from ledger.usecases.disclose import issue
from ledger.usecases.earlier_seen import EarlierSeen
from ledger.usecases.hand_on import (
    DAYS_MOST,
    Form,
    end_link,
    given_parts,
    links_of,
    made_record,
    make_link,
    picture_in,
    records_of,
    shown_record,
)
from ledger.usecases.look import BookLook, look_at
from web.book_facts import issue_of
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import Fault, ask, faults_listed, fresh_key, key_of, refusal
from web.forms import typed_in
from web.frame import Frame, Place, Told
from web.pages.pictures import KEPT
from web.posted import Posted
from web.record_forms import EntryBoxes, Shot, boxes_of, shots_of, wish_of, wish_typed
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

FILES: Final = {
    Form.PAGE: ("html", "text/html; charset=utf-8"),
    Form.BAG: ("zip", "application/zip"),
    Form.FILE: ("json", "application/json"),
    Form.SHEET: ("pdf", "application/pdf"),
}
"""How the files of each form are called, and what they are."""
CHANGED: Final = 409


@page("disclose.html")
@dataclass(frozen=True, kw_only=True)
class DisclosePage(Page):
    """What can be chosen, and the records that were made."""

    book: str
    title: str
    number: str
    boxes: tuple[EntryBoxes, ...]
    shots: tuple[Shot, ...]
    recipient: str
    made: Sequence[KeptRecord]
    links: Sequence[Link]
    days_most: int
    days: Mapping[str, str]
    """What was typed for a link that was refused, by the digest of its record."""
    sheets_made: bool
    """A PDF can be made here."""
    address: str
    """Of a link that was just made, shown this once; empty on every other page."""
    problems: tuple[Fault, ...]
    waiting: str


@page("disclose_seen.html")
@dataclass(frozen=True, kw_only=True)
class SeenPage(Page):
    """What the reader will see, and the button that makes it."""

    book: str
    title: str
    number: str
    seen: Preview
    sheet: Sheet
    wish: Wish
    key: str
    changed: bool
    """It is not what was seen before: the book was written to meanwhile, or another day began."""
    waited: bool
    """It was to be made already, and waited while its maker was asked who they are."""
    waiting: str


@page("record.html")
@dataclass(frozen=True, kw_only=True)
class RecordPage(Page):
    """One record as it was given away or received, to be read here."""

    book: str
    record: KeptRecord
    sheets_made: bool
    sheets: tuple[tuple[str, Sheet], ...]
    """Digest and words of the record, then of those of the owners before."""
    seen: tuple[EarlierSeen, ...]
    """What a check without a key finds in each: itself first."""
    lost: int
    """How many pieces it names that are not kept here."""


def sheets_made(ledger: Ledger) -> bool:
    """A PDF can be made here."""
    return ledger.sheets is not None and ledger.sheets.at_hand


@router.get("/books/{book}/record")
def choose(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep) -> Response:
    """The boxes as a record has them by itself, or as they were ticked; what was seen, where it was to be made already."""
    path = f"/books/{book}/record"
    if waiting is not None and waiting.action == path:
        with suppress(InvalidError):
            return render(_seen(frame, ledger, actor, book, waiting, waited=True))
    sent = waiting if waiting is not None and waiting.action in {path, f"{path}/seen"} else None
    wish = wish_typed(sent) if sent is not None else Wish()
    return render(_page(frame, ledger, actor, book, wish, waiting=sent.waiting if sent is not None else ""))


@router.post("/books/{book}/record/seen")
def see(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """What the reader will see; nothing is written."""
    try:
        return render(_seen(frame, ledger, actor, book, posted))
    except InvalidError as error:
        return render(_page(frame, ledger, actor, book, wish_typed(posted), error=error), status=422)


@router.post("/books/{book}/record")
def make(  # noqa: PLR0913 - what a request brings along
    book: str, request: Request, frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep
) -> Response:
    """The record is made as it was seen; it cannot be unsaid."""
    path = f"/books/{book}/record"
    try:
        asked = ask(path, key_of(ledger, posted), typed_in(posted), posted)
        try:
            kept = issue(ledger, actor, book, wish_of(posted), asked, tag=posted.get("seen"))
        except StaleError:
            return render(_seen(frame, ledger, actor, book, posted, changed=True), status=CHANGED)
    except LedgerError as error:
        if isinstance(error, NotFoundError):
            raise
        shown_again = _page(frame, ledger, actor, book, wish_typed(posted), error=error)
        return render(shown_again, status=refusal(error).status)
    return go_to(request, f"{path}#made", Told(sentence=t("disclose.made_now", entry=kept.seq)))


@router.get("/records/{sha256}")
def read(sha256: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """A record as its reader has it, earlier owners' behind it."""
    record = shown_record(ledger, actor, sha256)
    shown = RecordPage(
        frame=frame.at(Place.COLLECTION),
        book=record.kept.book,
        record=record.kept,
        sheets_made=sheets_made(ledger),
        sheets=record.sheets,
        seen=record.seen,
        lost=len(record.lost),
    )
    return render(shown)


@router.get("/records/{sha256}/photographs/{picture}")
def photograph(sha256: str, picture: str, ledger: LedgerDep, actor: ActorDep) -> Response:
    """A photograph of that record as it goes with it."""
    shown = shown_record(ledger, actor, sha256)
    data = picture_in(ledger, shown, picture)
    return Response(data, media_type=shown.media[picture], headers={"Cache-Control": KEPT})


@router.get("/records/{sha256}/{form}")
def take(sha256: str, form: Form, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The record in one of its forms, as a file."""
    made = made_record(ledger, actor, sha256)
    ending, kind = FILES[form]
    name = f"record-{sha256[:12]}.{ending}"
    return file_answer(given_parts(ledger, made, form), kind, name)


def file_answer(parts: Sequence[bytes], kind: str, name: str) -> Response:
    """A file to be kept, sent in these pieces one after another: what is large in it is not copied for that."""
    said = {"Content-Disposition": f'attachment; filename="{name}"', "Content-Length": str(sum(map(len, parts)))}
    return StreamingResponse(iter(parts), media_type=kind, headers=said)


@router.post("/records/{sha256}/link")
def link(  # noqa: PLR0913 - what a request brings along
    sha256: str, request: Request, frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep
) -> Response:
    """A link, shown this once: the answer is the page itself."""
    days = posted.get("days")
    try:
        made, secret = make_link(ledger, actor, sha256, int(days) if days.isascii() and days.isdecimal() else 0)
    except InvalidError as error:
        book = shown_record(ledger, actor, sha256).kept.book
        return render(_page(frame, ledger, actor, book, Wish(), error=error, days={sha256: days}), status=422)
    address = f"{str(request.base_url).rstrip('/')}/handed/{secret}"
    return render(_page(frame, ledger, actor, made.book, Wish(), address=address), status=201)


@router.post("/books/{book}/record/links/{link}/end")
def end(book: str, link: str, request: Request, ledger: LedgerDep, actor: ConfirmedActorDep) -> Response:
    """The link opens nothing from now on."""
    end_link(ledger, actor, link)
    return go_to(request, f"/books/{book}/record#links", Told(sentence=t("disclose.link_ended")))


def _seen(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    book: str,
    posted: Posted,
    *,
    changed: bool = False,
    waited: bool = False,
) -> SeenPage:
    title, number = issue_of(look_at(ledger, actor, book).book)
    wish = wish_of(posted)
    seen = preview(ledger, actor, book, wish)
    return SeenPage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        title=title,
        number=number,
        seen=seen,
        sheet=seen.sheet,
        wish=wish,
        key=fresh_key(ledger),
        changed=changed or (waited and posted.get("seen") != seen.tag),
        waited=waited,
        waiting=posted.waiting,
    )


def _page(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    book: str,
    wish: Wish,
    *,
    error: LedgerError | None = None,
    address: str = "",
    waiting: str = "",
    days: Mapping[str, str] = MappingProxyType({}),
) -> DisclosePage:
    look: BookLook = look_at(ledger, actor, book)
    title, number = issue_of(look.book)
    return DisclosePage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        title=title,
        number=number,
        boxes=boxes_of(choices(ledger, actor, book), wish),
        shots=shots_of(look.moments, wish),
        recipient=wish.recipient or "",
        made=[each for each in records_of(ledger, actor, book) if not each.received],
        links=links_of(ledger, actor, book),
        days_most=DAYS_MOST,
        sheets_made=sheets_made(ledger),
        address=address,
        problems=() if error is None else faults_listed(refusal(error).problems, {}),
        days=days,
        waiting=waiting,
    )

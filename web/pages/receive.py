"""A record of an owner before is looked at and received: for a book that is here, or with the book it comes with."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.accounts import DATE_ORDERS, SignedIn
from ledger.errors import InvalidError, LedgerError, MalformedError, Problem
from ledger.events.earlier import Verdict
from ledger.events.purchase import Means, Purchase
from ledger.ports import Ledger
from ledger.proof.canonical import Plain
from ledger.proof.sheet import Sheet
from ledger.proof.signature import VerifierKey, parse_vkey
from ledger.usecases.earlier_seen import EarlierSeen
from ledger.usecases.hand_over import pages_in
from ledger.usecases.look import look_at as look_at_book
from ledger.usecases.receive import Received, issue_said, look_at, receive
from ledger.usecases.record import Request as Asked
from ledger.usecases.record import random_id
from ledger.when import When, read_when
from web.book_facts import issue_of
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, SignedInDep
from web.entering import Fault, faults_listed, refusal
from web.frame import Frame, Place, Told
from web.held_files import HeldFiles
from web.posted import Posted, Upload
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/receive"
HELD: Final[HeldFiles[Received]] = HeldFiles(lambda each: each.size)
COMES_BY: Final = (Means.RECEIVED, Means.BOUGHT, Means.TRADE, Means.GIFT, Means.INHERITANCE)


@page("receive.html")
@dataclass(frozen=True, kw_only=True)
class ReceivePage(Page):
    """The form for the files and the key."""

    book: str
    of_book: str
    typed_key: str
    problems: tuple[Fault, ...]


@dataclass(frozen=True, kw_only=True)
class Looked:
    """One file as it was looked at."""

    name: str
    title: str
    verdict: Verdict
    findings: tuple[str, ...]
    notes: tuple[str, ...]
    sheets: tuple[tuple[str, Sheet], ...]
    earlier: tuple[EarlierSeen, ...]
    """What is in it of owners before, each with its own verdict."""
    broken_inside: bool
    may: bool
    """It can be received."""


@page("receive_seen.html")
@dataclass(frozen=True, kw_only=True)
class ReceivedPage(Page):
    """What checking came to, and the form by which it is received."""

    book: str
    of_book: str
    looked: tuple[Looked, ...]
    held: str
    means: tuple[tuple[str, str], ...]
    typed: Mapping[str, str]
    problems: tuple[Fault, ...]


@router.get(PATH)
def begin(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, book: str = "") -> Response:
    """The empty form."""
    of_book = " ".join(issue_of(look_at_book(ledger, actor, book).book)) if book else ""
    return render(_first(frame, book, of_book))


@router.post(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, who: SignedInDep, posted: PostedDep) -> Response:
    """What the files are; nothing is kept of them but for half an hour."""
    book = posted.get("book")
    of_book = " ".join(issue_of(look_at_book(ledger, actor, book).book)) if book else ""
    files = [each for sent in posted.files("file") for each in _unpacked(sent)]
    problems = [] if files else [Problem(field="file", sentence=t("receive.no_file"))]
    if book and len(files) > 1:
        problems.append(Problem(field="file", sentence=t("receive.one_file")))
    keys = _keys(posted, problems)
    if problems:
        return render(_first(frame, book, of_book, posted.get("keys"), problems), status=422)
    seen = [(each.name, look_at(actor, each.data, keys)) for each in files]
    name = random_id(ledger.chance)
    HELD.hold(name, who.session.hashed, [each for _, each in seen], ledger.clock.now())
    looked = tuple(_looked(each, received) for each, received in seen)
    return render(_second(frame, book, of_book, looked, name, posted))


@router.post(f"{PATH}/{{held}}")
def take(  # noqa: PLR0913 - what a request brings along
    held: str,
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    who: SignedInDep,
    posted: PostedDep,
) -> Response:
    """They are received: each tells of itself by an entry."""
    book = posted.get("book")
    of_book = " ".join(issue_of(look_at_book(ledger, actor, book).book)) if book else ""
    files = HELD.take(held, who.session.hashed, ledger.clock.now())
    if not files:
        problem = Problem(field="file", sentence=t("receive.gone"))
        return render(_first(frame, book, of_book, "", [problem]), status=410)
    books: list[str] = []
    try:
        on = _day(ledger, who, posted)
        for place, each in enumerate(files):
            purchase = None if book else _purchase(ledger, each, on, posted)
            written = receive(
                ledger,
                actor,
                each,
                book=book or None,
                purchase=purchase,
                on=on,
                from_whom=posted.get("from_whom") or None,
                request=Asked(key=f"{held}{place}", body=each.sha256.encode()),
            )
            books.append(str(written.entries[-1].book))
    except LedgerError as error:
        refused = refusal(error)
        looked = tuple(_looked("", each) for each in files)
        shown = _second(frame, book, of_book, looked, held, posted, refused.problems)
        return render(shown, status=refused.status)
    HELD.let_go(held)
    to = f"/books/{books[0]}#owners" if len(books) == 1 else "/collection"
    return go_to(request, to, Told(sentence=t.n("receive.done", len(books))))


def _unpacked(sent: Upload) -> list[Upload]:
    """The pages in a file of many records; every other file as it is, for checking to judge."""
    try:
        pages = pages_in(sent.data)
    except MalformedError:
        pages = {}
    return [Upload(name=name, data=data) for name, data in pages.items()] or [sent]


def _keys(posted: Posted, problems: list[Problem]) -> list[VerifierKey]:
    """The keys that were typed or given as files, each on a line of its own."""
    text = "\n".join([posted.get("keys"), *(each.data.decode("utf-8", "replace") for each in posted.files("key_file"))])
    found = []
    for line in text.split():
        try:
            found.append(parse_vkey(line))
        except MalformedError as error:
            problems.append(Problem(field="keys", sentence=str(error)))
    return found


def _day(ledger: Ledger, who: SignedIn, posted: Posted) -> When | None:
    text = posted.get("on")
    if not text:
        return None
    order = who.person.preferences.date_order
    try:
        return read_when(text, order=order if order in DATE_ORDERS else None, today=ledger.clock.today())
    except (ValueError, LedgerError) as error:
        raise InvalidError(problems=(Problem(field="on", sentence=str(error)),)) from error


def _purchase(ledger: Ledger, received: Received, on: When | None, posted: Posted) -> Purchase:
    """The purchase with which the book comes in; its issue is the one that the record names."""
    issue = issue_said(ledger, received)
    if issue is None:
        raise InvalidError(problems=(Problem(field="file", sentence=t("receive.no_issue")),))
    plain: dict[str, Plain] = {"means": posted.get("means") or Means.RECEIVED.value, "issue": dict(issue)}
    if on is not None:
        plain["on"] = str(on)
    event = ledger.codec.read("purchase", plain)
    assert isinstance(event, Purchase)
    return event


def _looked(name: str, received: Received) -> Looked:
    file = received.file
    return Looked(
        name=name,
        title=file.sheet.title if file else name,
        verdict=received.verdict,
        findings=tuple(each.sentence for each in received.report.findings),
        notes=tuple(received.report.notes),
        sheets=() if file is None else ((received.sha256, file.sheet),),
        earlier=received.earlier,
        broken_inside=any(each.broken for each in received.earlier),
        may=file is not None,
    )


def _first(frame: Frame, book: str, of_book: str, typed: str = "", problems: Sequence[Problem] = ()) -> ReceivePage:
    return ReceivePage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        of_book=of_book,
        typed_key=typed,
        problems=faults_listed(problems, {}),
    )


def _second(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    book: str,
    of_book: str,
    looked: tuple[Looked, ...],
    held: str,
    posted: Posted,
    problems: Sequence[Problem] = (),
) -> ReceivedPage:
    return ReceivedPage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        of_book=of_book,
        looked=looked,
        held=held,
        means=tuple((each.value, t(f"receive.means.{each.value}")) for each in COMES_BY),
        typed={
            "on": posted.get("on"),
            "from_whom": posted.get("from_whom"),
            "means": posted.get("means", Means.RECEIVED.value),
        },
        problems=faults_listed(problems, {}),
    )

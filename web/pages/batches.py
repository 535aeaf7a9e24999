"""Batches: books that are at a grading service together, those that came back, and each forecast beside its result."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.batches import Batch
from ledger.errors import LedgerError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.usecases import batches as work
from ledger.usecases.bench import names_of
from web.batch_form import news_parts, read_news, read_results, read_sending, result_parts, sending_parts
from web.batch_told import BatchLine, TripLine, batch_line, trip_line
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, PreferencesDep, WaitingDep
from web.entering import Fault, ask, faults_listed, faults_of, key_of, placing, refusal, refuse_unread, told_of
from web.form_fields import Part
from web.form_showing import Shown, View, labels_of, shown
from web.forms import habits_of, typed_in
from web.frame import Frame, Place
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/batches"
SEND: Final = "/send"
ONE: Final = f"{PATH}/{{batch}}"
Books = Annotated[list[str], Query(max_length=100)]


@page("batches.html")
@dataclass(frozen=True, kw_only=True)
class BatchesPage(Page):
    """Those under way, then those that came back."""

    under_way: tuple[BatchLine, ...]
    came_back: tuple[BatchLine, ...]


@page("batch.html")
@dataclass(frozen=True, kw_only=True)
class BatchPage(Page):
    """One of them, book by book."""

    batch: BatchLine
    trips: tuple[TripLine, ...]
    news: tuple[Shown, ...]
    key: str
    waiting: str
    problems: tuple[Fault, ...]


@page("batch_form.html")
@dataclass(frozen=True, kw_only=True)
class BatchFormPage(Page):
    """Sending, or what came of it."""

    title: str
    lede: str
    action: str
    books: tuple[str, ...]
    parts: tuple[Shown, ...]
    button: str
    back: str
    draft: str
    key: str
    waiting: str
    problems: tuple[Fault, ...]


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """All of them."""
    lines = [batch_line(each) for each in work.look_at_batches(ledger, actor)]
    away = tuple(each for each in lines if each.is_open)
    back = tuple(each for each in lines if not each.is_open)
    return render(BatchesPage(frame=_framed(frame), under_way=away, came_back=back))


@router.get(SEND)
def sending(
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    waiting: WaitingDep,
    book: Books = [],  # noqa: B006 - FastAPI copies it
) -> Response:
    """The form that sends these books."""
    held = waiting if waiting is not None and waiting.action == SEND else None
    typed = typed_in(held) if held is not None else {}
    return render(_sending(frame, ledger, actor, held.all("book") if held else book, View(typed=typed), held))


@router.post(SEND)
def send(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    preferences: PreferencesDep,
    posted: PostedDep,
) -> Response:
    """They are sent in one act, or the form comes back."""
    books, typed, key = _named(ledger, actor, posted.all("book")), typed_in(posted), key_of(ledger, posted)
    said, heard = read_sending(books, typed, habits_of(preferences, ledger.clock), ledger.codec)
    try:
        refuse_unread(heard, typed, "book")
        assert said is not None
        with placing(heard):
            recorded = work.send(ledger, actor, said, ask(SEND, key, typed, posted))
    except LedgerError as error:
        refused = refusal(error)
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        ids = [book for book, _ in books]
        shown_again = _sending(frame, ledger, actor, ids, view, posted, refused.problems)
        return render(shown_again, status=refused.status)
    return go_to(request, f"{PATH}/{said.batch}", told_of(recorded, "send"))


@router.get(ONE)
def one(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep, batch: str) -> Response:
    """One of them."""
    held = waiting if waiting is not None and waiting.action == f"{PATH}/{batch}/news" else None
    found = work.look_at_batch(ledger, actor, batch)
    return render(_one(frame, ledger, found, View(typed=typed_in(held) if held else {}), held))


@router.post(f"{ONE}/news")
def tell(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    preferences: PreferencesDep,
    posted: PostedDep,
    batch: str,
) -> Response:
    """Received there, or shipped back; all that are not so far yet."""
    found, typed, key = work.look_at_batch(ledger, actor, batch), typed_in(posted), key_of(ledger, posted)
    news, heard = read_news(typed, habits_of(preferences, ledger.clock), ledger.codec)
    try:
        refuse_unread(heard, typed)
        assert news is not None
        asked = ask(f"{PATH}/{batch}/news", key, typed, posted)
        with placing(heard):
            recorded = work.move_on(ledger, actor, batch, news.stage, news.on, asked)
    except LedgerError as error:
        refused = refusal(error)
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        return render(_one(frame, ledger, found, view, posted, refused.problems), status=refused.status)
    return go_to(request, f"{PATH}/{batch}", told_of(recorded, ""))


@router.get(f"{ONE}/results")
def results(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep, batch: str) -> Response:
    """The form of what came of each book."""
    held = waiting if waiting is not None and waiting.action == f"{PATH}/{batch}/results" else None
    found = work.look_at_batch(ledger, actor, batch)
    return render(_results(frame, ledger, found, View(typed=typed_in(held) if held else {}), held))


@router.post(f"{ONE}/results")
def write_results(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    preferences: PreferencesDep,
    posted: PostedDep,
    batch: str,
) -> Response:
    """They are written in one act, or the form comes back."""
    found, typed, key = work.look_at_batch(ledger, actor, batch), typed_in(posted), key_of(ledger, posted)
    said, heard = read_results(found, typed, habits_of(preferences, ledger.clock), ledger.codec)
    try:
        refuse_unread(heard, typed)
        assert said is not None
        asked = ask(f"{PATH}/{batch}/results", key, typed, posted)
        with placing(heard):
            recorded = work.write_results(ledger, actor, batch, said, asked)
    except LedgerError as error:
        refused = refusal(error)
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        return render(_results(frame, ledger, found, view, posted, refused.problems), status=refused.status)
    return go_to(request, f"{PATH}/{batch}", told_of(recorded, f"results-{batch}"))


def _named(ledger: Ledger, actor: Actor, books: Sequence[str]) -> list[tuple[str, str]]:
    """Each book with its name.

    Raises: NotFoundError for one that is not here.
    """
    names = names_of(ledger, actor, books)
    if missing := next((each for each in books if each not in names), None):
        raise NotFoundError(what="book", name=missing)
    return [(each, names[each]) for each in dict.fromkeys(books)]


def _sending(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    ids: Sequence[str],
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
) -> BatchFormPage:
    books = _named(ledger, actor, ids)
    return _form(
        frame, ledger, sending_parts(books), view, posted, problems,
        title=t("batches.send_title"), lede=t("batches.send_lede"), action=SEND, button=t("batches.send"),
        back=PATH, draft="send", books=tuple(book for book, _ in books),
    )  # fmt: skip


def _results(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    found: Batch,
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
) -> BatchFormPage:
    return _form(
        frame, ledger, result_parts(found), view, posted, problems,
        title=t("batches.results_title", batch=found.id), lede=t("batches.results_lede"),
        action=f"{PATH}/{found.id}/results", button=t("batches.results_write"), back=f"{PATH}/{found.id}",
        draft=f"results-{found.id}", books=(),
    )  # fmt: skip


def _form(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    parts: Sequence[Part],
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem],
    *,
    title: str,
    lede: str,
    action: str,
    button: str,
    back: str,
    draft: str,
    books: tuple[str, ...],
) -> BatchFormPage:
    made = shown(parts, view)
    return BatchFormPage(
        frame=_framed(frame),
        title=title,
        lede=lede,
        action=action,
        books=books,
        parts=made,
        button=button,
        back=back,
        draft=draft,
        key=key_of(ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels_of(made)),
    )


def _one(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    found: Batch,
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
) -> BatchPage:
    news = shown(news_parts(), view)
    return BatchPage(
        frame=_framed(frame),
        batch=batch_line(found),
        trips=tuple(map(trip_line, found.books)),
        news=news,
        key=key_of(ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels_of(news)),
    )


def _framed(frame: Frame) -> Frame:
    return frame.at(Place.COLLECTION)

"""Batches: books that are at a grading service together, those that came back, and each forecast beside its result."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response

from ledger.actor import Actor
from ledger.batches import Batch
from ledger.errors import LedgerError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.usecases import batches as work
from ledger.usecases.bench import names_of
from ledger.when import When
from web.batch_form import news_parts, read_news, read_results, read_sending, result_parts, sending_parts
from web.batch_told import BatchLine, TripLine, batch_line, trip_line
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import Fault, ask, faults_listed, faults_of, key_of, placing, refusal, refuse_unread, told_of
from web.form_fields import Part
from web.form_showing import Shown, View, labels_of, shown
from web.forms import Heard, Typed, typed_in
from web.frame import Frame, Place
from web.posted import Posted
from web.render import Page, page, render
from web.sender import Sender, SenderDep
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
def sending(by: SenderDep, waiting: WaitingDep, book: Books = []) -> Response:  # noqa: B006 - FastAPI copies it
    """The form that sends these books, today unless it is said otherwise."""
    held = waiting if waiting is not None and waiting.action == SEND else None
    typed = typed_in(held) if held is not None else _today(by, "on")
    ids = held.all("book") if held else book
    return render(_sending(by.frame, by.ledger, by.actor, ids, View(typed=typed), held))


@router.post(SEND)
def send(by: SenderDep, posted: PostedDep) -> Response:
    """They are sent in one act, or the form comes back."""
    books, typed, key = _named(by.ledger, by.actor, posted.all("book")), typed_in(posted), key_of(by.ledger, posted)
    said, heard = read_sending(books, typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed, "book")
        assert said is not None
        with placing(heard):
            recorded = work.send(by.ledger, by.actor, said, ask(SEND, key, typed, posted))
    except LedgerError as error:
        ids = [book for book, _ in books]
        return _back(error, typed, heard, partial(_sending, by.frame, by.ledger, by.actor, ids, posted=posted))
    return go_to(by.request, f"{PATH}/{said.batch}", told_of(recorded, "send"))


@router.get(ONE)
def one(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep, batch: str) -> Response:
    """One of them."""
    held = waiting if waiting is not None and waiting.action == f"{PATH}/{batch}/news" else None
    found = work.look_at_batch(ledger, actor, batch)
    return render(_one(frame, ledger, found, View(typed=typed_in(held) if held else {}), held))


@router.post(f"{ONE}/news")
def tell(by: SenderDep, posted: PostedDep, batch: str) -> Response:
    """Received there, or shipped back; all that are not so far yet."""
    found, typed, key = work.look_at_batch(by.ledger, by.actor, batch), typed_in(posted), key_of(by.ledger, posted)
    news, heard = read_news(typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed)
        assert news is not None
        asked = ask(f"{PATH}/{batch}/news", key, typed, posted)
        with placing(heard):
            recorded = work.move_on(by.ledger, by.actor, batch, news.stage, news.on, asked)
    except LedgerError as error:
        return _back(error, typed, heard, partial(_one, by.frame, by.ledger, found, posted=posted))
    return go_to(by.request, f"{PATH}/{batch}", told_of(recorded, ""))


@router.get(f"{ONE}/results")
def results(by: SenderDep, waiting: WaitingDep, batch: str) -> Response:
    """The form of what came of each book, which came back today unless it is said otherwise."""
    held = waiting if waiting is not None and waiting.action == f"{PATH}/{batch}/results" else None
    found = work.look_at_batch(by.ledger, by.actor, batch)
    view = View(typed=typed_in(held) if held else _today(by, "came_back"))
    return render(_results(by.frame, by.ledger, found, view, held))


@router.post(f"{ONE}/results")
def write_results(by: SenderDep, posted: PostedDep, batch: str) -> Response:
    """They are written in one act, or the form comes back."""
    found, typed, key = work.look_at_batch(by.ledger, by.actor, batch), typed_in(posted), key_of(by.ledger, posted)
    said, heard = read_results(found, typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed)
        assert said is not None
        asked = ask(f"{PATH}/{batch}/results", key, typed, posted)
        with placing(heard):
            recorded = work.write_results(by.ledger, by.actor, batch, said, asked)
    except LedgerError as error:
        return _back(error, typed, heard, partial(_results, by.frame, by.ledger, found, posted=posted))
    return go_to(by.request, f"{PATH}/{batch}", told_of(recorded, f"results-{batch}"))


def _today(by: Sender, name: str) -> Typed:
    return {name: (When.of_day(by.habits.today).label(),)}


def _back(error: LedgerError, typed: Typed, heard: Heard, again: Callable[..., Page]) -> Response:
    """The page once more, with all that was typed and what stands in its way.

    Raises: the error itself, where no form can mend it.
    """
    refused = refusal(error)
    view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
    return render(again(view=view, problems=refused.problems), status=refused.status)


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

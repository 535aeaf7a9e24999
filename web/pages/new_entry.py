"""New entry: first the kind, then its form; for one book, for several at once, for the collection, or to mend an entry."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request, Response

from ledger.actor import Actor
from ledger.book import Status
from ledger.errors import InvalidError, LedgerError, NotFoundError, RuleError
from ledger.events import KINDS, Scope
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.proof.canonical import GREATEST
from ledger.usecases.bench import look_at_bench, told
from ledger.usecases.look import BookLook, look_at
from ledger.usecases.record import Recorded, record
from ledger.usecases.tools import tool_of_load
from web.deps import (
    AccountsDep,
    ActorDep,
    DoorDep,
    FrameDep,
    LedgerDep,
    PostedDep,
    SignedInDep,
    WaitingDep,
    confirmed_actor_of,
)
from web.entering import action_of, added_row, ask, fresh_key, key_of, refusal, remember, told_of
from web.entry_calibration import TAKE, with_calibration
from web.entry_group import group_task, take_group
from web.entry_mending import MENDING, mending_task
from web.entry_offers import offers
from web.entry_pages import ChoosePage, Sent, draft_of, entry_page, names_of
from web.entry_photographs import photograph_task, take
from web.entry_tasks import WRITTEN_ELSEWHERE, Asked, Task, book_task
from web.form_values import Habits
from web.forms import habits_of, typed_in
from web.frame import Frame, Place
from web.posted import Posted
from web.render import render
from web.starters import asked_for, filled_typed
from web.told import go_to

router = APIRouter()

PATH: Final = "/entry/new"
CONFIRMED: Final = frozenset({"erasure"})
"""Kinds for which the password is asked for again."""

Kind = Annotated[str, Query(max_length=40)]
Books = Annotated[list[str], Query(max_length=500)]
Seq = Annotated[int | None, Query(ge=1, le=GREATEST)]


def asked_of(request: Request, kind: Kind = "", book: Books = [], entry: Seq = None) -> Asked:  # noqa: B006 - FastAPI copies it
    """What the address asks for; whatever else it names is put into the field of that name."""
    own = {"kind", "book", "entry", "waiting"}
    given = {name: value for name, value in request.query_params.items() if name not in own and value}
    return Asked(kind=kind, books=tuple(dict.fromkeys(book)), entry=entry, given=given)


AskedDep = Annotated[Asked, Depends(asked_of)]


@router.get(PATH)
def new_entry(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    accounts: AccountsDep,
    door: DoorDep,
    who: SignedInDep,
    actor: ActorDep,
    asked: AskedDep,
    waiting: WaitingDep,
) -> Response:
    """The form of the kind that was asked for, or the kinds there are."""
    if not _has_form(asked):
        return render(_choose(frame, ledger, actor, asked))
    actor.require_to_write(asked.kind)
    if asked.kind in CONFIRMED:
        confirmed_actor_of(who, accounts, door)
    task = _task(ledger, actor, asked, habits_of(who.person.preferences, ledger.clock))
    held = waiting if waiting is not None and waiting.action == PATH else None
    typed = typed_in(held) if held is not None else task.initial
    sent = Sent(typed=typed, key=key_of(ledger, held), waiting=held.waiting if held is not None else "")
    return render(entry_page(frame, ledger, task, sent, action_of(request)))


@router.post(PATH)
def write(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    accounts: AccountsDep,
    door: DoorDep,
    who: SignedInDep,
    actor: ActorDep,
    asked: AskedDep,
    posted: PostedDep,
) -> Response:
    """The entry is written, or the form comes back: with one more row, or with what stands in its way."""
    if not _has_form(asked):
        raise NotFoundError(what="form for the kind", name=asked.kind)
    actor.require_to_write(asked.kind)
    if asked.kind in CONFIRMED:
        confirmed_actor_of(who, accounts, door)
    habits, typed = habits_of(who.person.preferences, ledger.clock), typed_in(posted)
    task, action = _task(ledger, actor, asked, habits), action_of(request)
    if posted.get("do") == TAKE:
        typed = with_calibration(task.tool, typed)
    sent = Sent(typed=typed, key=key_of(ledger, posted), waiting=posted.waiting, more=added_row(typed))
    tapped = asked_for(posted.get("do")) if asked.kind == Intervention.kind else None
    if tapped is not None:
        sent = replace(sent, typed=filled_typed(typed, tapped))
    if tapped or sent.more or posted.get("do") in ("show", TAKE):
        return render(entry_page(frame, ledger, task, sent, action))
    try:
        recorded = _written(ledger, actor, task, sent, posted, habits, action)
    except LedgerError as error:
        refused = refusal(error)
        key = fresh_key(ledger) if refused.key_is_used else sent.key
        back = replace(sent, heard=task.heard(typed, habits), problems=refused.problems, key=key)
        return render(entry_page(frame, ledger, task, back, action), status=refused.status)
    for heard in task.heard(typed, habits) if who.session.phone is None else ():
        remember(accounts, who, typed, heard)
    onward = _next_step(ledger, actor, asked, recorded) or _onward(recorded)
    return go_to(request, onward, told_of(recorded, draft_of(task)))


def _has_form(asked: Asked) -> bool:
    """The address names all that the form needs."""
    kind = KINDS.get(asked.kind)
    if kind is None or asked.kind in WRITTEN_ELSEWHERE:
        return False
    if asked.kind in MENDING and (asked.entry is not None or asked.kind != "withdrawal"):
        return asked.entry is not None
    return bool(asked.books) if kind.scope is Scope.BOOK else not (asked.books and kind.scope is Scope.COLLECTION)


def _task(ledger: Ledger, actor: Actor, asked: Asked, habits: Habits) -> Task:
    if asked.kind in MENDING and asked.entry is not None:
        return mending_task(ledger, actor, asked, habits)
    task = book_task(ledger, actor, asked, habits)
    if asked.kind == "intervention" and "load" in asked.given:
        return replace(task, tool=tool_of_load(ledger, actor, asked.given["load"]))
    if asked.kind != "photograph":
        return task
    return photograph_task(task) if len(task.looks) == 1 else group_task(task)


def _written(  # noqa: PLR0913 - who sends what to whom
    ledger: Ledger, actor: Actor, task: Task, sent: Sent, posted: Posted, habits: Habits, action: str
) -> Recorded:
    """What the ledger wrote; what it refuses is told at the inputs it is about."""
    request = ask(action, sent.key, sent.typed, posted)
    if task.asked.kind == "photograph":
        taking = take if len(task.looks) == 1 else take_group
        return taking(task, ledger, actor, sent.typed, posted, habits, request)
    ready = task.ready(ledger, sent.typed, habits)
    try:
        return record(ledger, actor, ready.drafts, request)
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=ready.placed(error.problems)) from error


def _choose(frame: Frame, ledger: Ledger, actor: Actor, asked: Asked) -> ChoosePage:
    looks = [look_at(ledger, actor, book) for book in asked.books]
    kind = KINDS.get(asked.kind)
    needs = kind is not None and not asked.books and kind.scope is Scope.BOOK and asked.kind not in WRITTEN_ELSEWHERE
    return ChoosePage(
        frame=frame,
        books=names_of(looks),
        offers=offers([look.book for look in looks], asked.books, actor),
        needs_book=kind.title if kind is not None and needs else "",
        twin=f"{PATH}?kind=withdrawal&book={asked.books[0]}" if _may_be_a_twin(looks) else "",
    )


def _may_be_a_twin(looks: Sequence[BookLook]) -> bool:
    """One book, not withdrawn as another one yet."""
    return len(looks) == 1 and looks[0].book.status is not Status.DUPLICATE


def _next_step(ledger: Ledger, actor: Actor, asked: Asked, recorded: Recorded) -> str:
    """The load that was told is gone; to the step that follows it by its recipe, if its books are free for that."""
    load = told(ledger, actor, asked.given["load"], recorded.entries) if asked.given.get("load") else None
    if load is None or load.recipe is None:
        return ""
    bench = look_at_bench(ledger, actor)
    busy = {book for each in bench.loads for book in each.books}
    if bench.next_of(load) is None or busy.intersection(load.books):
        return ""
    given = [*(("book", each) for each in load.books), ("recipe", f"{load.recipe}.{load.place + 1}")]
    return f"{Place.BENCH.path}/start?{urlencode(given)}"


def _onward(recorded: Recorded) -> str:
    """To the book; of several books, or of the collection itself, to the first entry."""
    books = {entry.book for entry in recorded.entries}
    book = books.pop() if len(books) == 1 else None
    return f"/books/{book}" if book else f"/ledger/{recorded.entries[0].seq}"

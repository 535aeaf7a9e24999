"""One change to many books: chosen in the collection, shown book by book, then written under one reason."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Final
from urllib.parse import parse_qsl, urlencode

from fastapi import APIRouter, Query, Request, Response
from fastapi.datastructures import QueryParams

from ledger.errors import InvalidError, LedgerError, NotFoundError, Problem
from ledger.events.placement import Placement
from ledger.money import Money
from ledger.usecases.air import rooms_known
from ledger.usecases.change_many import (
    CHANGED_MOST,
    Change,
    OneChange,
    Preview,
    found_by,
    preview,
    write_change,
)
from ledger.usecases.record import Recorded
from ledger.when import When
from web import filters
from web.change_form import KINDS_OF_CHANGE, change_parts, read_change
from web.deps import PostedDep, WaitingDep
from web.entering import Fault, ask, faults_listed, faults_of, key_of, placing, refusal, refuse_unread
from web.form_fields import with_options
from web.form_showing import Shown, View, labels_of, shown
from web.forms import Heard, Typed, typed_in
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.sender import Sender, SenderDep
from web.shelf_asked import Asked
from web.told import go_to
from web.wall_names import room_name
from web.wording import t

router = APIRouter()

PATH: Final = "/collection/change"
DRAFT: Final = "change"
FOUND: Final = "found"
"""The address of a list whose books are all meant, in place of their ids."""
PREFILLED: Final = ("spot", "place", "room")
"""What an address may say of a placement already."""
OWN: Final = ("book", FOUND, "seen", "without")

Books = Annotated[list[str], Query(max_length=CHANGED_MOST)]
Text = Annotated[str, Query(max_length=4_000)]


@dataclass(frozen=True, kw_only=True)
class BookLine:
    """What becomes of one book."""

    href: str
    name: str
    no: int
    before: str | None
    after: str | None
    problems: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Seen:
    """The preview: every book with what stands before and after, those first that the change cannot be made to."""

    refused: tuple[BookLine, ...]
    fine: tuple[BookLine, ...]
    left_out: int
    acts: int
    seen: str


@page("change.html")
@dataclass(frozen=True, kw_only=True)
class ChangePage(Page):
    """The kinds of change, or the form of one, with what it would come to."""

    kind: str
    kinds: tuple[tuple[str, str], ...]
    """Address and words of each kind."""
    chosen: str
    """How many books are meant."""
    books: tuple[str, ...]
    found: str
    parts: tuple[Shown, ...]
    seen: Seen | None
    problems: tuple[Fault, ...]
    key: str
    waiting: str


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """The books that are meant: those that were ticked, or all that an address of the list finds."""

    ids: tuple[str, ...]
    found: str = ""

    @property
    def query(self) -> list[tuple[str, str]]:
        """The same for an address."""
        return [(FOUND, self.found)] if self.found else [("book", each) for each in self.ids]


@router.get(PATH)
def look(by: SenderDep, waiting: WaitingDep, request: Request, book: Books = [], kind: Text = "") -> Response:  # noqa: B006
    """The kinds of change, or the blank form of one."""
    held = waiting if waiting is not None and waiting.action == PATH else None
    given = {name: (value,) for name in PREFILLED if (value := request.query_params.get(name))}
    typed = typed_in(held) if held is not None else {"on": (When.of_day(by.habits.today).label(),), **given}
    found = request.query_params.get(FOUND)
    try:
        chosen = _chosen(by, held.all("book") if held else book, held.get(FOUND) if held else found)
    except InvalidError as error:
        return render(_page(by, "", Chosen(ids=()), View(typed={}), None, problems=error.problems), status=422)
    kind = "".join(typed.get("kind", ())) or kind
    return render(_page(by, _known(kind) if chosen.ids else "", chosen, View(typed=typed), held))


@router.post(PATH)
def change(by: SenderDep, posted: PostedDep) -> Response:
    """What it would come to; or it is written, once that was seen."""
    typed, kind = typed_in(posted), _known(posted.get("kind"))
    if not kind:
        raise NotFoundError(what="kind of change", name=posted.get("kind"))
    chosen = _chosen(by, posted.all("book"), posted.get(FOUND) or None)
    said, reason, heard = read_change(kind, typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed, *OWN, "kind")
        assert said is not None
        with placing(heard):
            return _shown_or_written(by, kind, chosen, said, reason, heard, typed, posted)
    except LedgerError as error:
        refused = refusal(error)
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        again = None if refused.key_is_used else posted
        made = _page(by, kind, chosen, view, again, problems=refused.problems)
        return render(made, status=refused.status)


def _shown_or_written(  # noqa: PLR0913 - who asks for what, as it was heard
    by: Sender,
    kind: str,
    chosen: Chosen,
    said: Change,
    reason: str,
    heard: Heard,
    typed: Typed,
    posted: Posted,
) -> Response:
    books, left_out = chosen.ids, 0
    made = None
    if posted.get("without") or posted.get("do") == "without":
        whole = preview(by.ledger, by.actor, books, said, reason)
        refused = {each.row.book for each in whole.refused}
        books, left_out = tuple(each for each in books if each not in refused), len(refused)
    if posted.get("do") == "write" and posted.get("seen"):
        asked = ask(PATH, key_of(by.ledger, posted), typed, posted)
        recorded = write_change(by.ledger, by.actor, books, said, reason, posted.get("seen"), asked)
        return go_to(by.request, "/ledger", _told(recorded))
    made = preview(by.ledger, by.actor, books, said, reason)
    view = View(typed=typed, heard=heard)
    return render(_page(by, kind, chosen, view, posted, seen=_seen(made, left_out)))


def _told(recorded: Sequence[Recorded]) -> Told:
    entries = sum(len(each.entries) for each in recorded)
    ends = {"first": recorded[0].entries[0].seq, "last": recorded[-1].entries[-1].seq}
    acts = t.n("change.acts", len(recorded))
    return Told(sentence=f"{t.n('change.written', entries, **ends)} {acts}", draft=DRAFT)


def _chosen(by: Sender, books: Sequence[str], found: str | None) -> Chosen:
    """The books that are meant.

    Raises: InvalidError where too many are found.
    """
    if found is None:
        return Chosen(ids=tuple(dict.fromkeys(books)))
    asked = Asked.read(QueryParams(parse_qsl(found.partition("?")[2])))
    return Chosen(ids=tuple(found_by(by.ledger, by.actor, asked.query())), found=asked.address)


def _known(kind: str) -> str:
    return kind if kind in KINDS_OF_CHANGE else ""


def _to_choose(by: Sender, kind: str) -> dict[str, list[tuple[str, str]]]:
    """The rooms there are, for a placement; a box or safe stands in one of them."""
    if kind != Placement.kind:
        return {}
    rooms = rooms_known(by.ledger, by.actor)
    return {"room": [(each, room_name(rooms, each)) for each in rooms]}


def _seen(made: Preview, left_out: int) -> Seen:
    refused = tuple(_line(each) for each in made.refused)
    fine = tuple(_line(each) for each in made.books if not each.problems)
    return Seen(refused=refused, fine=fine, left_out=left_out, acts=made.acts, seen=made.seen)


def _line(each: OneChange) -> BookLine:
    return BookLine(
        href=f"/books/{each.row.book}",
        name=f"{each.row.title} {each.row.number}".strip() or t("collection.untitled"),
        no=each.row.no,
        before=_words(each.before),
        after=_words(each.after),
        problems=tuple(problem.sentence for problem in each.problems),
        warnings=each.warnings,
    )


def _words(value: str | Money | None) -> str | None:
    if isinstance(value, Money):
        return filters.money(value)
    return None if value is None else str(value)


def _page(  # noqa: PLR0913 - the parts of one page
    by: Sender,
    kind: str,
    chosen: Chosen,
    view: View,
    posted: Posted | None,
    *,
    seen: Seen | None = None,
    problems: Sequence[Problem] = (),
) -> ChangePage:
    parts = shown(with_options(change_parts(kind), _to_choose(by, kind)), view) if kind else ()
    return ChangePage(
        frame=by.frame.at(Place.COLLECTION),
        kind=kind,
        kinds=tuple(
            (f"{PATH}?{urlencode([*chosen.query, ('kind', each)])}", t(f"change.kinds.{each}"))
            for each in KINDS_OF_CHANGE
            if chosen.ids
        ),
        chosen=t.n("change.chosen", len(chosen.ids)),
        books=() if chosen.found else chosen.ids,
        found=chosen.found,
        parts=parts,
        seen=seen,
        problems=faults_listed(problems, labels_of(parts)),
        key=key_of(by.ledger, posted),
        waiting=posted.waiting if posted is not None else "",
    )

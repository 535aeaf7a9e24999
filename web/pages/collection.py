"""The collection: every book in a dense list that follows what is typed and ticked."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Final
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse

from ledger.actor import Permission
from ledger.rules.grades import grades
from ledger.usecases.browse import Shelf, look_through
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Frame, Place
from web.kept_pages import KeptPages, Key
from web.kept_questions import Drawer, drawn_once
from web.render import PART, Page, page, render, render_part
from web.shelf_asked import SORTS, Asked
from web.shelf_filters import expected, totals
from web.shelf_lines import Line, line_of
from web.wording import t

router = APIRouter()
KEPT: Final = KeptPages()


@dataclass(frozen=True, kw_only=True)
class Order:
    """One order of the list: the address that gives it, and how it stands now, in the words of `aria-sort`."""

    href: str
    sorted: str


@dataclass(frozen=True, kw_only=True)
class Nearest:
    """A title that may have been meant, and the address that finds it."""

    title: str
    href: str


@page("collection.html")
@dataclass(frozen=True, kw_only=True)
class CollectionPage(Page):
    """One page of the list, and what it is narrowed by."""

    said: str
    """How many books there are, or were found, as far as that is known."""
    lines: Sequence[Line]
    orders: dict[str, Order]
    asked: Asked
    kept: Callable[[Drawer], str]
    """What draws the questions at the side, or has drawn them before."""
    start: str
    after: str
    nearest: Sequence[Nearest]
    """Titles that may have been meant, where nothing was found."""
    everywhere: str
    """The address that looks for the same words in all that is written of every book."""
    change_all: str
    """The address that changes all books of this list."""
    is_empty: bool
    """There is no book at all."""


@router.get(Place.COLLECTION.path)
def collection(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The books that the address asks for."""
    actor.require(Permission.READ)
    asked, around, in_part = Asked.read(request.query_params), frame.at(Place.COLLECTION), PART in request.headers

    def make() -> bytes:
        shown = _page(around, asked, look_through(ledger, actor, asked.query()))
        return bytes((render_part(shown, "rows") if in_part else render(shown)).body)

    body = KEPT.body(ledger.log, Key((asked, in_part, actor.id), around, date.min, None), make)
    return HTMLResponse(body, headers={"Vary": PART})


def _page(frame: Frame, asked: Asked, shelf: Shelf) -> CollectionPage:
    here, left = totals(shelf.tallies)
    return CollectionPage(
        frame=frame,
        said=_said(asked, shelf) or _whole(here, left),
        lines=[line_of(row) for row in shelf.page.rows],
        orders={sort: _order(asked, sort) for sort in SORTS},
        asked=asked,
        kept=partial(drawn_once, asked=asked, tallies=shelf.tallies, steps=STEPS),
        start=asked.from_start() if asked.after else "",
        after=asked.onward(shelf.page.after) if shelf.page.after else "",
        nearest=[Nearest(title=each, href=Asked(q=each).address) for each in shelf.nearest],
        everywhere=f"/find?{urlencode({'q': asked.q})}" if asked.q else "",
        change_all=f"/collection/change?{urlencode({'found': replace(asked, after='').address})}",
        is_empty=not here + left,
    )


STEPS: Final = (("", t("collection.any_grade")), *((each.text, each.text) for each in reversed(grades())))


def _order(asked: Asked, sort: str) -> Order:
    now = ("descending" if asked.descending else "ascending") if sort == asked.sort else ""
    return Order(href=asked.sorted_by(sort), sorted=now)


def _whole(here: int, left: int) -> str:
    """How many books there are."""
    words = t.n("collection.total", here)
    return f"{words} {t.n('collection.total_left', left)}" if left else words


def _said(asked: Asked, shelf: Shelf) -> str:
    """How many are shown, of how many where that is known; empty where all there are are shown."""
    shown = len(shelf.page.rows)
    if asked.counts_itself:
        found = expected(asked, shelf.tallies)
        if asked.after or shelf.page.after:
            return t.n("collection.some_of", found, shown=f"{shown:,}")
        return _found(found) if asked.narrows else ""
    if asked.after:
        return t.n("collection.further", shown)
    return t.n("collection.first", shown) if shelf.page.after else _found(shown)


def _found(books: int) -> str:
    return t.n("collection.found", books) if books else t("collection.none_found")

"""Bench tags: small labels to print, each with the code that opens the page of its book."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.codes import Code
from ledger.ports import Ledger
from ledger.usecases.look import rows_of
from ledger.views import BookRow
from web.deps import ActorDep, FrameDep, LedgerDep, ReachDep
from web.frame import Frame, Place
from web.reach import Reach
from web.render import Page, page, render

router = APIRouter()

PATH: Final = "/tags"
TAGS_MOST: Final = 200
"""Books whose tags are printed at once."""
SHORT: Final = 8
"""Letters of a book's id that stand on its tag: 40 random bits, so that in a collection of ten thousand books two tags
alike are rarer than one in twenty thousand collections. Our choice; the copy's number tells them apart for certain."""

Books = Annotated[list[str], Query(max_length=TAGS_MOST)]


@dataclass(frozen=True, kw_only=True)
class Tag:
    """One label."""

    title: str
    number: str
    copy: int
    """Number of the book in the collection."""
    short: str
    """How the address of its page goes on, as a person reads it out."""
    href: str
    address: str
    code: Code | None


@page("tags.html")
@dataclass(frozen=True, kw_only=True)
class TagsPage(Page):
    """Labels for one sheet of paper or more."""

    tags: tuple[Tag, ...]
    base: str
    """Where the codes lead."""
    others: bool
    """Another device reaches it there."""


@router.get("/books/{book}/tag")
def of_one(  # noqa: PLR0913
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, reach: ReachDep, book: str
) -> Response:
    """The label of one book."""
    return _page(request, frame, ledger, actor, reach, [book])


@router.get(PATH)
def of_several(  # noqa: PLR0913
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    reach: ReachDep,
    book: Books = [],  # noqa: B006 - FastAPI copies it
) -> Response:
    """The labels of the books that were chosen."""
    return _page(request, frame, ledger, actor, reach, book)


def _page(  # noqa: PLR0913
    request: Request, frame: Frame, ledger: Ledger, actor: Actor, reach: Reach, books: Sequence[str]
) -> Response:
    base = reach.base(request)
    return render(
        TagsPage(
            frame=frame.at(Place.BENCH),
            tags=tuple(_tag(ledger, row, base) for row in rows_of(ledger, actor, books)),
            base=base,
            others=bool(reach.offered(request)),
        )
    )


def _tag(ledger: Ledger, row: BookRow, base: str) -> Tag:
    href, short = f"/books/{row.book}", row.book[:SHORT]
    return Tag(
        title=row.title,
        number=row.number,
        copy=row.no,
        short=f"{short[: SHORT // 2]} {short[SHORT // 2 :]}",
        href=href,
        address=base + href,
        code=ledger.codes.drawn(base + href) if ledger.codes is not None else None,
    )

"""catalogues: books on paper, with pictures, contents and index, made while one does something else, and fetched."""

from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Path, Request, Response
from fastapi.responses import StreamingResponse
from pydantic import BaseModel, ConfigDict, Field

from api.answers import placed
from api.bodies import read_body, read_json
from api.deps import LedgerDep, ReadingBodyDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.made import MadeAnswer, how_far
from api.queries import Step
from api.schemas import Answer
from ledger.book import Status
from ledger.catalogues import Printing, Wish
from ledger.events._parts import Holding
from ledger.rules.grades import Grade
from ledger.rules.headings import Heading
from ledger.usecases import catalogues as work
from ledger.views import NOTHING, ShelfQuery

router = APIRouter(prefix="/catalogues", tags=["catalogues"])

_ID: Final = "c5h2g4f6d5s3a7b7q2m4x6n5k3"
CatalogueId = Annotated[str, Path(description="Id of the catalogue.", examples=[_ID])]
_NONE: Final = "none"
ANSWERS_MOST: Final = 200
"""Answers to one question; nobody has as many places."""
TEXT_MOST: Final = 200


class CatalogueBody(BaseModel):
    """Which books, and what is printed of them; of several answers to one question any may be right."""

    model_config = ConfigDict(extra="forbid")

    q: str | None = Field(
        None,
        max_length=TEXT_MOST,
        pattern=r"^[^\x00-\x1f]*$",
        description="Words to look for in title, number, publisher and the like.",
    )
    statuses: list[Status] = Field([], max_length=ANSWERS_MOST, description="Where a book stands with the collection.")
    holdings: list[Holding] = Field([], max_length=ANSWERS_MOST, description="In a sealed holder or not.")
    headings: list[Heading | Literal["none"]] = Field(
        [], max_length=ANSWERS_MOST, description="Highest heading of the work done here; none is no work."
    )
    places: list[Annotated[str, Field(min_length=1, max_length=TEXT_MOST)]] = Field(
        [], max_length=ANSWERS_MOST, description="Names of places, as they were written."
    )
    unnamed: bool = Field(default=False, description="Also books that are here, in a place without a name or in none.")
    on_bench: bool | None = Field(None, description="Being worked on.")
    left: bool = Field(
        default=False, description="Also what has left the collection; the statuses, where they are given, say that."
    )
    grade_from: Step | None = Field(None, description="At least this step of the ten-point scale.")
    grade_to: Step | None = Field(None, description="At most this step of the ten-point scale.")
    print_places: bool = Field(default=False, description="It is printed where each book is.")

    def wish(self) -> Wish:
        """What the ledger is asked."""
        query = ShelfQuery(
            text=(self.q or "").strip() or None,
            kept=None if self.left or self.statuses else True,
            statuses=tuple(self.statuses),
            holdings=tuple(self.holdings),
            headings=tuple(NOTHING if each == _NONE else each for each in self.headings),
            places=(*self.places, *((NOTHING,) if self.unnamed else ())),
            on_bench=self.on_bench,
            grade_from=None if self.grade_from is None else Grade(self.grade_from).step,
            grade_to=None if self.grade_to is None else Grade(self.grade_to).step,
        )
        return Wish(query=query, places=self.print_places)


class CatalogueAnswer(MadeAnswer):
    """One catalogue: how far it is, and what it came to."""

    chosen: list[str] = Field(description="What was chosen, as its first page says it.")
    print_places: bool = Field(description="It is printed where each book is.")
    done: int = Field(ge=0, description="Books whose covers are at hand so far; with all of them the pages are set.")
    expected: int = Field(ge=0, description="How many books there are; 0 until they are counted.")
    books: int | None = Field(description="Books in it; null until it is ready.")
    entries: int | None = Field(description="Entries of the ledger that it shows; null until it is ready.")


class CatalogueList(Answer):
    """Catalogues that lie here."""

    catalogues: list[CatalogueAnswer] = Field(description="The catalogues, the newest first.")


class SheetResponse(StreamingResponse):
    """A PDF."""

    media_type = "application/pdf"


@router.get(
    "",
    summary="List catalogues",
    response_description="Those that are under way or lie here.",
    responses=failures(*EVERYWHERE),
)
def list_catalogues(ledger: LedgerDep, actor: ReadingDep) -> CatalogueList:
    """A catalogue lies here for a day, and no longer than the server runs; of more than two the oldest goes."""
    return CatalogueList(catalogues=[_answer(each) for each in work.CATALOGUES.all(ledger, actor)])


@router.post(
    "",
    summary="Have a catalogue printed",
    status_code=202,
    response_description="It is being made; look again until it is ready.",
    responses={
        202: {"headers": {"Location": text_header("Where to look.", f"/api/v1/catalogues/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def begin_catalogue(
    request: Request,
    response: Response,
    ledger: LedgerDep,
    actor: ReadingDep,
    data: ReadingBodyDep,
) -> CatalogueAnswer:
    """Books as a PDF in the order of titles, with a picture of each, contents and an index; the page makes the same.

    One is made at a time. It takes the program's extra `report`; without it this is refused, and nothing begins.
    """
    asked = read_body(CatalogueBody, read_json(data))
    begun = work.begin_catalogue(ledger, actor, asked.wish())
    placed(request, response, f"/catalogues/{begun.id}")
    return _answer(begun)


@router.get(
    "/{catalogue}",
    summary="Look how far a catalogue is",
    response_description="The catalogue.",
    responses=failures(404, *EVERYWHERE),
)
def read_catalogue(ledger: LedgerDep, actor: ReadingDep, catalogue: CatalogueId) -> CatalogueAnswer:
    """Under way with its count, ready with its size, or failed with the reason."""
    return _answer(work.CATALOGUES.named(ledger, actor, an_id("catalogue", catalogue)))


@router.get(
    "/{catalogue}/file",
    summary="Fetch a catalogue",
    response_class=SheetResponse,
    response_description="The catalogue, a PDF.",
    responses={
        200: {
            "content": {
                "application/pdf": {"schema": {"type": "string", "format": "binary"}, "example": "%PDF-1.7"},
            }
        },
        **failures(404, *EVERYWHERE),
    },
)
def fetch_catalogue(ledger: LedgerDep, actor: ReadingDep, catalogue: CatalogueId) -> SheetResponse:
    """A PDF that lasts and can be read out. The same ledger, asked the same, gives the same bytes."""
    name = an_id("catalogue", catalogue)
    headers = {"Content-Disposition": 'attachment; filename="slipsheet-catalogue.pdf"', "Cache-Control": "no-store"}
    return SheetResponse(work.CATALOGUES.pieces(ledger, actor, name), headers=headers)


@router.delete(
    "/{catalogue}",
    summary="Call a catalogue off, or take it away",
    status_code=204,
    response_description="It lies here no longer.",
    responses=failures(404, *EVERYWHERE),
)
def take_catalogue_away(ledger: LedgerDep, actor: ReadingDep, catalogue: CatalogueId) -> None:
    """One that is under way is called off; another can be begun at once."""
    work.CATALOGUES.take_away(ledger, actor, an_id("catalogue", catalogue))


def _answer(each: Printing) -> CatalogueAnswer:
    outcome = each.outcome
    return CatalogueAnswer(
        **how_far(each),
        chosen=list(each.chosen),
        print_places=each.places,
        books=outcome.books if outcome else None,
        entries=outcome.entries if outcome else None,
    )


_UNDER_WAY: Final[dict[str, Any]] = {
    "id": _ID,
    "state": "under way",
    "chosen": ["search for lantern", "Raw or in a holder: raw"],
    "print_places": False,
    "begun": "2026-03-01T09:30:00.000000Z",
    "ended": None,
    "done": 0,
    "expected": 0,
    "books": None,
    "entries": None,
    "bytes": None,
    "failure": None,
}
_READY: Final[dict[str, Any]] = {
    **_UNDER_WAY,
    "state": "ready",
    "ended": "2026-03-01T09:30:02.000000Z",
    "done": 46,
    "expected": 46,
    "books": 46,
    "entries": 412,
    "bytes": 1_204_968,
}
CATALOGUE_REQUESTS: dict[str, Any] = {
    "begin_catalogue": {
        "all": {"summary": "Every book that is here", "value": {}},
        "some": {
            "summary": "Raw books that a search finds, with where each is",
            "value": {"q": "lantern", "holdings": ["raw"], "print_places": True},
        },
    }
}
CATALOGUE_ANSWERS: dict[str, Any] = {
    "list_catalogues": {"catalogues": [_READY]},
    "begin_catalogue": _UNDER_WAY,
    "read_catalogue": _READY,
}

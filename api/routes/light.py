"""light: how much light books had, what their spots do in a year, and what else would do."""

from fastapi import APIRouter

from api.bodies import read_body, read_json
from api.deps import BookId, LedgerDep, OwningBodyDep, OwningDep, ReadingBodyDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.light_answers import (
    LightAnswer,
    LightClassBody,
    LightList,
    WhatIfAnswer,
    WhatIfBody,
    light_answer,
    prospect_answer,
)
from ledger.usecases.browse import HUNG_MOST
from ledger.usecases.light import light_of_book, lights_on_walls, set_light_class
from ledger.usecases.light_what_if import what_if

router = APIRouter(tags=["care"])


@router.get(
    "/light",
    summary="Read the light of what hangs",
    response_description="Every book on a wall.",
    responses=failures(*EVERYWHERE),
)
def list_light(ledger: LedgerDep, actor: ReadingDep) -> LightList:
    """All of it read in one moment."""
    return LightList(books=[light_answer(each) for each in lights_on_walls(ledger, actor, HUNG_MOST)])


@router.get(
    "/books/{book}/light",
    summary="Read the light of a book",
    response_description="What it had here, and a year where it is.",
    responses=failures(404, *EVERYWHERE),
)
def read_light(ledger: LedgerDep, actor: ReadingDep, book: BookId) -> LightAnswer:
    """Light is counted from placements and from the rooms as they were stated then. What came before is not known."""
    return light_answer(light_of_book(ledger, actor, an_id("book", book)))


@router.put(
    "/books/{book}/light",
    summary="Set the class of a book",
    response_description="The light of the book with that class.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def set_light(ledger: LedgerDep, actor: OwningDep, book: BookId, data: OwningBodyDep) -> LightAnswer:
    """It is sent whole, and lies beside the ledger; nothing is written into it."""
    asked = read_body(LightClassBody, read_json(data))
    set_light_class(ledger, actor, an_id("book", book), asked.said())
    return light_answer(light_of_book(ledger, actor, book))


@router.post(
    "/books/{book}/light/what-if",
    summary="Try another spot, less light or a filter",
    response_description="A year as it is, and as it would be.",
    responses=failures(404, 413, 415, 422, *EVERYWHERE),
)
def try_light(ledger: LedgerDep, actor: ReadingDep, book: BookId, data: ReadingBodyDep) -> WhatIfAnswer:
    """Nothing is written: light and hours, else a spot, else the light as it is; then dimmed, then filtered."""
    asked = read_body(WhatIfBody, read_json(data))
    found, then = what_if(ledger, actor, an_id("book", book), asked.asked())
    now = found.light.here
    return WhatIfAnswer(now=None if now is None else prospect_answer(now), then=prospect_answer(then))

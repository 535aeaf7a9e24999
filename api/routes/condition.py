"""condition: the looks at a book, each held against the one before."""

from fastapi import APIRouter, Response

from api.answers import Teller, tag
from api.condition_answers import ConditionAnswer, condition
from api.deps import TO_READERS, BookId, LedgerDep, an_id, snapshot
from api.documents import EVERYWHERE, failures, text_header
from ledger.history import fold
from ledger.looks import looks_of, outcome, see_again

router = APIRouter(tags=["books"])

TAGGED = {"headers": {"ETag": text_header("The number of the book's entries; send it back as If-Match.", '"4"')}}


@router.get(
    "/books/{book}/condition",
    summary="Read a book's condition, look by look",
    response_description="Every look in force, in the order of happening.",
    responses={200: TAGGED, **failures(404, *EVERYWHERE)},
    dependencies=TO_READERS,
)
def read_condition(response: Response, ledger: LedgerDep, book: BookId) -> ConditionAnswer:
    """What each look found new, gone, come back, lessened or worse; what it did not name stays as it was last seen.

    What work came to is told by the look after a rest; until there is one, `due` says so and `see_again` at what.
    """
    with snapshot(ledger) as reader:
        row = reader.book(an_id("book", book))
        moments = Teller(ledger, reader).book(book)
    looks = looks_of(moments)
    response.headers["ETag"] = tag(len(moments))
    again = see_again(moments) if fold(book, row.no, moments).held else None
    return condition(book, looks, outcome(looks), again)

"""books: the list, one book's state, a new book with its purchase, and the events of a book."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from api.answers import Teller, answered, tag
from api.bodies import BOOK_KINDS, MENDING, read_event
from api.book_answers import BookList, BookState, line, state
from api.deps import TO_READERS, AppendDep, BookAppendDep, BookId, LedgerDep, TagDep, an_id, kinds_of, snapshot
from api.documents import EVERYWHERE, appended, failures, text_header
from api.queries import BookEventsAsked, BooksAsked, Order, next_link
from api.refusals import TagMissingError
from api.schemas import EntryList, Written
from ledger.dose import heat_of
from ledger.history import fold
from ledger.usecases.browse import NEAREST_MOST
from ledger.usecases.record import Draft, record

router = APIRouter(tags=["books"])

TAGGED = {"headers": {"ETag": text_header("The number of the book's entries; send it back as If-Match.", '"4"')}}
PAGED = {"headers": {"Link": text_header("The next page, while there is one.", '</api/v1/books?after=…>; rel="next"')}}


@router.get(
    "/books",
    summary="List books",
    response_description="A page of books.",
    responses={200: PAGED, **failures(422, *EVERYWHERE)},
    dependencies=TO_READERS,
)
def list_books(
    request: Request, response: Response, ledger: LedgerDep, asked: Annotated[BooksAsked, Query()]
) -> BookList:
    """Finds, filters and orders the books of the collection. Following `next` visits each of them once."""
    with snapshot(ledger) as reader:
        query = asked.query()
        page = reader.books(query)
        asked_for = query.text if not page.rows and not query.after else None
        nearest = reader.nearest_titles(asked_for, NEAREST_MOST) if asked_for else []
    if page.after is not None:
        response.headers["Link"] = next_link(request, page.after)
    return BookList(books=[line(row) for row in page.rows], nearest=nearest)


@router.post(
    "/books",
    summary="Enter a new book with its purchase",
    status_code=201,
    response_description="The book's first entry.",
    responses=appended(tagged=True),
)
def create_book(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """The book and its purchase are one call: a book without a way into the collection does not exist."""
    plain = append.plain()
    event = read_event(plain, {"purchase"}, default="purchase")
    recorded = record(ledger, append.actor, [Draft(event=event, new_book=True)], append.asked("books", plain))
    return answered(request, response, recorded, f"/books/{recorded.entries[0].book}")


@router.get(
    "/books/{book}",
    summary="Read one book",
    response_description="The book as its entries in force leave it.",
    responses={200: TAGGED, **failures(404, *EVERYWHERE)},
    dependencies=TO_READERS,
)
def read_book(response: Response, ledger: LedgerDep, book: BookId) -> BookState:
    """What the book is, has been through and is worth telling now; every part names the entry that says it."""
    with snapshot(ledger) as reader:
        row = reader.book(an_id("book", book))
        moments = Teller(ledger, reader).book(book)
    response.headers["ETag"] = tag(row.entries)
    return state(row, fold(book, row.no, moments), heat_of(moments))


@router.get(
    "/books/{book}/events",
    summary="List a book's entries",
    response_description="Every entry of the book.",
    responses={200: TAGGED, **failures(404, *EVERYWHERE)},
    dependencies=TO_READERS,
)
def list_book_events(
    response: Response, ledger: LedgerDep, book: BookId, asked: Annotated[BookEventsAsked, Query()]
) -> EntryList:
    """The whole chain of the book, with what became of every entry.

    One that was corrected is told as it was recorded and as it stands now; one that was withdrawn keeps its place and
    names the entry that withdrew it.
    """
    with snapshot(ledger) as reader:
        teller = Teller(ledger, reader)
        moments = teller.book(an_id("book", book))
    if asked.order is Order.RECORDED:
        moments.sort(key=lambda moment: moment.entry.seq)
    response.headers["ETag"] = tag(len(moments))
    return EntryList(entries=teller.moments(moments))


@router.post(
    "/books/{book}/events",  # noqa: FAST003 - the dependency reads it, before the body
    summary="Record something that happened to a book",
    status_code=201,
    response_description="The new entry.",
    responses=appended(404, 412, 428, tagged=True),
)
def record_book_event(
    request: Request, response: Response, ledger: LedgerDep, tagged: TagDep, append: BookAppendDep
) -> Written:
    """One POST for every kind; `kind` says which.

    The entry is checked in the order of happening, so something from long ago can be entered today. Mistakes are
    mended the same way: `correction`, `withdrawal` and `erasure` name the entry they mend and must send `If-Match`.
    """
    plain = append.plain()
    kind = plain.get("kind")
    if kind in MENDING and not tagged.given:
        raise TagMissingError(kind=str(kind))
    event = read_event(plain, BOOK_KINDS, kind_at=kinds_of(ledger))
    asked = append.asked(f"books/{tagged.book}/events", plain, tagged.tags)
    recorded = record(ledger, append.actor, [Draft(event=event, book=tagged.book)], asked)
    return answered(request, response, recorded, f"/events/{recorded.entries[0].seq}")

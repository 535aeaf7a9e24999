"""find: books by any word that is written of them, a misspelt one too."""

from typing import Annotated, Any, Final

from fastapi import APIRouter, Query
from pydantic import Field

from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.queries import Asked
from api.schemas import Answer
from ledger.usecases.find import FOUND_MOST, TEXTS_MOST, WORDS_MOST, BookFound, find

__all__ = ["FIND_ANSWER", "router"]

router = APIRouter(tags=["books"])

TEXT_MOST: Final = 400


class FindAsked(Asked):
    """What is looked for."""

    q: str = Field(
        min_length=1,
        max_length=TEXT_MOST,
        description=f"Up to {WORDS_MOST} words, each of which must be found; the last letters of a word may be left out, the last "
        "digits of a number only where nothing is found with it whole.",
        examples=["lantern vale"],
    )


class TextAnswer(Answer):
    """A text that holds a word."""

    entry: int = Field(ge=1, description="Number of the entry it stands in.")
    kind: str = Field(description="Kind of that entry.")
    field: str = Field(description="What its field is called.")
    text: str = Field(description="The whole text.")


class BookFoundAnswer(Answer):
    """One book that was found."""

    book: str = Field(description="Id of the book.")
    title: str = Field(description="Title; empty where the book is not identified.")
    number: str = Field(description="Number as printed.")
    start_year: int | None = Field(description="Year in which the series began; null where that is not known.")
    status: str = Field(description="Where it stands towards the collection.")
    texts: list[TextAnswer] = Field(
        max_length=TEXTS_MOST, description=f"The texts that hold a word, the first {TEXTS_MOST} of them."
    )
    more_texts: int = Field(ge=0, description="How many more there are.")


class MeantAnswer(Answer):
    """A word that was taken for others."""

    asked: str = Field(description="The word as it was asked for.")
    words: list[str] = Field(min_length=1, description="Those most like it, the likest first.")


class FoundAnswer(Answer):
    """What was found."""

    books: list[BookFoundAnswer] = Field(max_length=FOUND_MOST, description="In the order of titles.")
    more: bool = Field(description="There are further books; another word narrows them.")
    meant: list[MeantAnswer] = Field(description="Empty where every word was found as it is.")


@router.get(
    "/find",
    summary="Find books by any word",
    response_description="The books, each with the texts that hold a word.",
    responses=failures(422, *EVERYWHERE),
)
def find_books(ledger: LedgerDep, actor: ReadingDep, asked: Annotated[FindAsked, Query()]) -> FoundAnswer:
    """Looks through titles, numbers, notes, remarks, defects, sellers, places, sums and holder numbers, sealed ones too.

    A word that stands nowhere is taken for those most like it; one with a digit in it never is. What was erased is found
    no more.
    """
    found = find(ledger, actor, asked.q)
    return FoundAnswer(
        books=[_book(each) for each in found.books],
        more=found.more,
        meant=[MeantAnswer(asked=each.asked, words=list(each.words)) for each in found.meant],
    )


def _book(found: BookFound) -> BookFoundAnswer:
    row = found.row
    return BookFoundAnswer(
        book=row.book,
        title=row.title,
        number=row.number,
        start_year=row.start_year,
        status=row.status,
        texts=[TextAnswer(entry=each.entry, kind=each.kind, field=each.field, text=each.text) for each in found.texts],
        more_texts=found.more,
    )


FIND_ANSWER: Final[dict[str, Any]] = {
    "books": [
        {
            "book": "b7q2m4x6n5k3j8h2g4f6d5s3a7",
            "title": "The Copper Lantern",
            "number": "14",
            "start_year": 1962,
            "status": "here",
            "texts": [{"entry": 1, "kind": "purchase", "field": "Seller", "text": "Orrin Vale"}],
            "more_texts": 0,
        }
    ],
    "more": False,
    "meant": [{"asked": "orrni", "words": ["orrin"]}],
}

"""Whether work on one book is worth it: its choices beside each other, and the collector's own reason for the book."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.errors import Problem
from ledger.usecases.look import look_at
from ledger.usecases.weighing import weigh_book
from web.book_facts import issue_of
from web.frame import Place
from web.render import Page, page, render
from web.sender import SenderDep
from web.weighing_form import WorthForm, form_told, said_of
from web.weighing_told import WeighedTold, weighed_told

router = APIRouter()


@page("worth.html")
@dataclass(frozen=True, kw_only=True)
class WorthPage(Page):
    """The choices for one book, what they rest on, and the form that asks for another sum."""

    book: str
    title: str
    number: str
    told: WeighedTold
    form: WorthForm
    problems: tuple[Problem, ...]
    reason: str | None
    """The collector's own; None where none is at hand."""


@router.get("/books/{book}/worth")
def look(by: SenderDep, book: str) -> Response:
    """The choices weighed by what the address says, and by sales, tables and outlook for what it leaves out."""
    asked, habits = dict(by.request.query_params), by.habits
    title, number = issue_of(look_at(by.ledger, by.actor, book).book)
    read = said_of(asked, habits)
    found = weigh_book(by.ledger, by.actor, book, read.said, habits.today)
    return render(
        WorthPage(
            frame=by.frame.at(Place.COLLECTION),
            book=book,
            title=title,
            number=number,
            told=weighed_told(found),
            form=form_told(found, read, asked),
            problems=tuple(Problem(field=name, sentence=sentence) for name, sentence in read.faults.items()),
            reason=found.reason,
        )
    )

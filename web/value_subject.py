"""Of what a value is asked: of a book as it is now, or of an issue that nobody here owns."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from ledger.actor import Actor
from ledger.book import Book
from ledger.events._parts import Holding, Issue
from ledger.events.outlook import Outlook
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.usecases.look import BookLook, look_at

__all__ = ["ISSUE_FIELDS", "PATH", "Subject", "of_book", "of_issue"]

PATH: Final = "/value"
ISSUE_FIELDS: Final = ("title", "number", "start_year", "printing", "variant")
_TEXT_MOST: Final = 200
_FIRST_YEAR, _LAST_YEAR, _PRINTINGS_MOST = 1800, 2999, 99


@dataclass(frozen=True, kw_only=True)
class Subject:
    """What the page is about; `issue` is None where that is not known yet."""

    book: str
    """Its id; empty for an issue alone."""
    issue: Issue | None
    holding: Holding = Holding.NOT_STATED
    tone: str = ""
    grade: Grade | None = None
    """As it is now: of a stated grade the lowest step, else as it was last looked at; None where nobody said."""
    outlook: Mapping[Grade, int] | None = None
    """Weights of the last forecast, in thousandths."""
    outlook_on: str = ""

    @property
    def name(self) -> str:
        """Title and number."""
        return str(self.issue) if self.issue is not None else ""

    @property
    def path(self) -> str:
        """Its page, and where its forms go."""
        return f"/books/{self.book}/value" if self.book else PATH

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """What a form sends along to name it; nothing for a book, whose path names it."""
        if self.book or self.issue is None:
            return ()
        found = {name: getattr(self.issue, name) for name in ISSUE_FIELDS}
        return tuple((name, str(value)) for name, value in found.items() if value is not None)

    def href(self, **asked: str) -> str:
        """Its page, asked for so."""
        query = urlencode([*self.fields, *((name, value) for name, value in asked.items() if value)])
        return f"{self.path}?{query}" if query else self.path


def of_book(ledger: Ledger, actor: Actor, book: str) -> Subject:
    """A book as it is now.

    Raises: NotFoundError.
    """
    look = look_at(ledger, actor, book)
    weights, on = _outlook(look)
    return Subject(
        book=book,
        issue=look.book.issue,
        holding=look.book.holding or Holding.NOT_STATED,
        tone=(look.book.last_look.tone or "") if look.book.last_look else "",
        grade=_grade_now(look.book),
        outlook=weights,
        outlook_on=on,
    )


def of_issue(given: Mapping[str, str]) -> Subject:
    """An issue by what was typed; without a title and a number it is none yet."""
    title, number = given.get("title", "").strip(), given.get("number", "").strip()
    if not title or not number or len(title) > _TEXT_MOST or len(number) > len("0" * 40):
        return Subject(book="", issue=None)
    issue = Issue(
        title=title,
        number=number,
        start_year=_whole(given.get("start_year", ""), _FIRST_YEAR, _LAST_YEAR),
        printing=_whole(given.get("printing", ""), 1, _PRINTINGS_MOST),
        variant=given.get("variant", "").strip()[:_TEXT_MOST] or None,
    )
    return Subject(book="", issue=issue)


def _grade_now(book: Book) -> Grade | None:
    if book.stated is not None and book.stated.steps:
        return min(book.stated.steps)
    seen = book.last_look
    return (seen.technical or seen.presents_as) if seen is not None else None


def _outlook(look: BookLook) -> tuple[Mapping[Grade, int] | None, str]:
    last = look.book.outlooks[-1] if look.book.outlooks else None
    for moment in look.moments:
        event = moment.event
        if moment.entry.seq == last and isinstance(event, Outlook):
            return {each.grade: each.per_mille for each in event.weights}, event.on.label() if event.on else ""
    return None, ""


def _whole(text: str, least: int, most: int) -> int | None:
    found = re.fullmatch(r"[0-9]{1,4}", text.strip())
    return int(found[0]) if found and least <= int(found[0]) <= most else None


def of_issue_known(issue: Issue, book: str) -> Subject:
    """The page of an issue that is known already; of that book, where one is named."""
    return Subject(book=book, issue=issue)

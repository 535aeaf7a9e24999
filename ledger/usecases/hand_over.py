"""Hands a whole collection over, or some books of it: a record of each, all of them in one file."""

from collections.abc import Callable, Sequence
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, Problem
from ledger.ports import Ledger
from ledger.proof.zipped import read_zip, write_zip
from ledger.usecases.choose import Wish
from ledger.usecases.hand_on import Form, given, made_now
from ledger.usecases.receive import UNPACKED_MOST

__all__ = ["BOOKS_MOST", "hand_over", "pages_in"]

BOOKS_MOST: Final = 200
"""In one go; more are several. Our assumption: a file that a mail or a stick still takes."""

Progress = Callable[[int, int], None]


def hand_over(
    ledger: Ledger,
    actor: Actor,
    books: Sequence[str],
    recipient: str | None = None,
    progress: Progress = lambda _done, _all: None,
) -> bytes:
    """A zip with the page of each book's record, named by the book's number; each record shows what one does by itself.

    Keeps: a record that was made stays made where a later one fails.
    Raises: InvalidError; what `made_now` raises.
    """
    actor.require(Permission.SIGN)
    own = tuple(dict.fromkeys(books))
    if not 1 <= len(own) <= BOOKS_MOST:
        sentence = f"Choose 1 to {BOOKS_MOST} books; more go in several files."
        raise InvalidError(problems=(Problem(field="book", sentence=sentence),))
    with ledger.log.read() as reader:
        numbers = {book: reader.book(book).no for book in own}
    pages: dict[str, bytes] = {}
    for done, book in enumerate(own):
        progress(done, len(own))
        made = made_now(ledger, actor, book, Wish(recipient=recipient))
        pages[f"book-{numbers[book]:05}.html"] = given(ledger, made, Form.PAGE)
    progress(len(own), len(own))
    return write_zip(pages, "records")


def pages_in(data: bytes) -> dict[str, bytes]:
    """The pages of records in such a file by their names; none where it is no such file.

    Raises: MalformedError for a zip that is none, or holds more than it may.
    """
    if not data.startswith(b"PK"):
        return {}
    files = {name: content for name, content in read_zip(data, most=UNPACKED_MOST).items() if not name.endswith("/")}
    return files if files and all(name.endswith(".html") for name in files) else {}

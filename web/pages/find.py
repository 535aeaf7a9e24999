"""Find: books by any word that is written of them, with the texts that hold it; it follows what is typed."""

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.errors import InvalidError
from ledger.finding import Said, pieces
from ledger.usecases.find import BookFound, Found, find
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.numbers import or_else
from web.render import PART, Page, page, render, render_part
from web.wording import t

router = APIRouter()

PATH: Final = "/find"
TEXT_MOST: Final = 200
AROUND: Final = 90
"""Characters of a long text that are shown before the first word found in it, and twice as many behind."""

Asked = Annotated[str, Query()]


@dataclass(frozen=True, kw_only=True)
class TextLine:
    """One text that holds a word: where it stands, and its pieces, those that were found marked."""

    entry: int
    where: str
    pieces: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, kw_only=True)
class BookLine:
    """One book that was found."""

    href: str
    title: str
    number: str
    printed: str
    state: str
    texts: tuple[TextLine, ...]
    more: str


@page("find.html")
@dataclass(frozen=True, kw_only=True)
class FindPage(Page):
    """What was asked for, and what was found."""

    q: str
    said: str
    fault: str
    meant: tuple[str, ...]
    """Sentences, each of a word that was taken for others."""
    books: tuple[BookLine, ...]
    more: bool
    """There are further books."""


@router.get(PATH)
def look(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, q: Asked = "") -> Response:
    """The books that hold every word, or what is nearest to it."""
    text, fault = q[:TEXT_MOST].strip(), ""
    try:
        found = find(ledger, actor, text)
    except InvalidError as error:
        found, fault = Found(), error.problems[0].sentence
    shown = FindPage(
        frame=frame.at(Place.COLLECTION),
        q=text,
        said=_said(text, found) if not fault else "",
        fault=fault,
        meant=tuple(t("find.meant", asked=each.asked, words=or_else(list(each.words))) for each in found.meant),
        books=tuple(_book(each, found) for each in found.books),
        more=found.more,
    )
    if PART in request.headers:
        return render_part(shown, "rows")
    return render(shown, status=422 if fault else 200)


def _said(text: str, found: Found) -> str:
    if not text:
        return t("find.hint")
    if not found.books:
        return t("find.none")
    return t.n("find.first" if found.more else "find.found", len(found.books))


def _book(each: BookFound, found: Found) -> BookLine:
    row = each.row
    year = str(row.start_year) if row.start_year is not None else ""
    return BookLine(
        href=f"/books/{row.book}",
        title=row.title or t("collection.untitled"),
        number=row.number,
        printed=", ".join(part for part in (row.publisher, year) if part),
        state=row.state,
        texts=tuple(_text(said, found) for said in each.texts),
        more=t.n("find.more_texts", each.more) if each.more else "",
    )


def _text(said: Said, found: Found) -> TextLine:
    return TextLine(
        entry=said.entry,
        where=t("find.where", event=said.event, field=said.field),
        pieces=tuple(_shortened(pieces(said.text, found.is_marked))),
    )


def _shortened(parts: list[tuple[str, bool]]) -> list[tuple[str, bool]]:
    """The pieces with what lies far from a word that was found left out."""
    shown = []
    for place, (text, marked) in enumerate(parts):
        is_first, is_last = place == 0, place == len(parts) - 1
        if marked or len(text) <= (AROUND if is_first else 2 * AROUND):
            shown.append((text, marked))
        elif is_first:
            shown.append((f"… {text[-AROUND:]}", False))
        elif is_last:
            shown.append((f"{text[: 2 * AROUND]} …", False))
        else:
            shown.append((f"{text[:AROUND]} … {text[-AROUND:]}", False))
    return shown

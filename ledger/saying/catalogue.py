"""A catalogue in words: series after series, each book with its facts, and an index by publisher, year and number.

They are the ledger's own and not the pages', for every door that has it printed prints the same.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import groupby

from ledger.book import Status
from ledger.catalogues import Catalogue
from ledger.events._parts import Holding, OpinionOf
from ledger.proof.canonical import Plain
from ledger.rows import folded
from ledger.saying.wording import LANG, t
from ledger.views import ShelfRow
from ledger.when import When

__all__ = ["catalogue_data", "names_of"]

Pairs = list[tuple[str, str]]


def catalogue_data(of: Catalogue, *, chosen: Sequence[str], places: bool) -> dict[str, Plain]:
    """All that the sheet says, as plain data; where each book is only where that is wished."""
    files = names_of(of)
    series = [list(rows) for _, rows in groupby(of.rows, key=lambda row: (folded(row.title), row.start_year))]
    return {
        "lang": LANG,
        "title": t("catalogue.printed"),
        "lede": _lede(of, chosen),
        "running": t("catalogue.running", size=of.size),
        "page": t("paper.page"),
        "page_of": t("paper.page_of"),
        "letters": t("paper.letters"),
        "contents": t("catalogue.contents"),
        "index": t("catalogue.index"),
        "series": [_series(rows, files, places=places) for rows in series],
        "parts": [part for part in _parts(of.rows) if part["rows"]],
    }


def names_of(of: Catalogue) -> dict[str, str]:
    """What every cover that is at hand is called beside the sheet."""
    return {digest: f"{number}.jpg" for number, digest in enumerate(of.covers, start=1)}


def _lede(of: Catalogue, chosen: Sequence[str]) -> str:
    count = t.n("catalogue.books", len(of.rows))
    return f"{count} {t('catalogue.chosen', what='; '.join(chosen))}" if chosen else count


def _series(rows: Sequence[ShelfRow], files: Mapping[str, str], *, places: bool) -> dict[str, Plain]:
    """One series with its copies; its publisher stands at its head where all of them have the same."""
    first = rows[0]
    title = first.title or t("catalogue.untitled")
    publishers = {row.publisher for row in rows}
    shared = len(publishers) == 1
    return {
        "title": f"{title} ({first.start_year})" if first.start_year else title,
        "line": (first.publisher or "") if shared else "",
        "books": [
            {
                "at": _at(row),
                "name": _name(row),
                "file": files.get(row.cover or "", ""),
                "alt": t("catalogue.alt", name=f"{title} {row.number}".strip()),
                "rows": [list(each) for each in _facts(row, own_publisher=not shared, places=places)],
            }
            for row in rows
        ],
    }


def _at(row: ShelfRow) -> str:
    return f"book-{row.no}"


def _name(row: ShelfRow) -> str:
    number = t("catalogue.number", number=row.number) if row.number else t("catalogue.no_number")
    return f"{number}, {When.parse(row.cover_date).label()}" if row.cover_date else number


def _facts(row: ShelfRow, *, own_publisher: bool, places: bool) -> Pairs:
    """What is known of a copy; a fact that nobody knows is left out, but for the grade."""
    found: Pairs = [(t("catalogue.book"), str(row.no))]
    if own_publisher and row.publisher:
        found.append((t("catalogue.publisher"), row.publisher))
    found.append((t("catalogue.grade"), _grade(row)))
    if row.holding in (Holding.RAW.value, Holding.SLABBED.value):
        found.append((t("catalogue.held"), row.holding))
    if row.heading:
        found.append((t("catalogue.work"), row.heading))
    if row.height_mm and row.width_mm:
        found.append((t("catalogue.size"), t("catalogue.mm", width=row.width_mm, height=row.height_mm)))
    if row.status != Status.HELD.value:
        found.append((t("catalogue.standing"), row.status))
    if places and (row.place or row.spot):
        found.append((t("catalogue.place"), row.place or row.spot or ""))
    return found


def _grade(row: ShelfRow) -> str:
    if row.grade_as_written is None:
        return t("catalogue.not_stated")
    opinion = t(f"catalogue.by.{OpinionOf(row.opinion_of).name.lower()}") if row.opinion_of else ""
    by = row.graded_by or opinion
    return f"{row.grade_as_written}, {by}" if by else row.grade_as_written


def _parts(rows: Sequence[ShelfRow]) -> Iterable[dict[str, Plain]]:
    """The index: who published, when the covers are dated, and each book by its number in the collection."""
    yield _part("publishers", rows, lambda row: row.publisher, folded)
    yield _part("years", rows, lambda row: (row.cover_date or "")[:4] or None, str)
    numbers = sorted(rows, key=lambda row: row.no)
    yield {
        "title": t("catalogue.numbers"),
        "rows": [{"name": str(row.no), "pages": [_at(row)]} for row in numbers],
    }


def _part(
    name: str,
    rows: Sequence[ShelfRow],
    key: Callable[[ShelfRow], str | None],
    order: Callable[[str], str],
) -> dict[str, Plain]:
    found: dict[str, list[Plain]] = {}
    for row in rows:
        own = key(row)
        if own is not None:
            found.setdefault(own, []).append(_at(row))
    listed = sorted(found, key=lambda each: (order(each), each))
    return {
        "title": t(f"catalogue.{name}"),
        "rows": [{"name": each, "pages": found[each]} for each in listed],
    }

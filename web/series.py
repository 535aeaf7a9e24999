"""The series of the collection, as a purchase is typed in: which there are, which numbers are owned, what is known of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from ledger.book import Status
from ledger.errors import InvalidError
from ledger.folding import folded
from ledger.ports import Reader
from ledger.proof.canonical import Plain
from ledger.views import PAGE_MOST, BookQuery, BookRow
from ledger.when import When
from web.wording import t

__all__ = ["Known", "known", "number_said", "taken_over", "title_said", "titles"]

OWNED: Final = frozenset({Status.EXPECTED.value, Status.HELD.value, Status.OUT.value})
NAMED_MOST: Final = 8
"""Numbers that are told one by one."""


@dataclass(frozen=True)
class Known:
    """The copies of one series that were ever in the collection, the last written first."""

    rows: tuple[BookRow, ...]

    @property
    def owned(self) -> tuple[BookRow, ...]:
        """Those that are in it now."""
        return tuple(row for row in self.rows if row.status in OWNED)

    def of_number(self, number: str) -> "Known":
        """The copies of one number."""
        return Known(tuple(row for row in self.rows if folded(row.number) == folded(number)))

    def agreed(self, name: str) -> Plain:
        """What all of them say, as far as they say anything."""
        said = {getattr(row, name) for row in self.rows} - {None}
        return said.pop() if len(said) == 1 else None


def titles(reader: Reader) -> tuple[str, ...]:
    """Series to choose from while typing; of a long list those that were written to last."""
    rows = reader.books(BookQuery(sort="recent", descending=True, limit=PAGE_MOST)).rows
    return tuple(sorted({row.title for row in rows if row.title}, key=folded))


def known(reader: Reader, title: str) -> Known:
    """What the collection has of a series, however its capitals and accents were typed."""
    return Known(tuple(row for row in _found(reader, title) if folded(row.title) == folded(title)))


def title_said(reader: Reader, title: str) -> str:
    """What the collection says of a title."""
    of = known(reader, title)
    if of.rows:
        owned = _numbers(of.owned)
        has = t("purchase.owned", numbers=owned) if owned else t("purchase.owned_none")
        return f"{_series(of)}. {has}"
    near = list(dict.fromkeys(row.title for row in _found(reader, title)))[:3]
    return t("purchase.near", titles=_listed(near)) if near else t("purchase.new_series")


def number_said(reader: Reader, title: str, number: str) -> str:
    """What the collection says of a number of a series; empty for a series it does not have."""
    of = known(reader, title)
    if not of.rows:
        return ""
    same = of.of_number(number)
    dated = same.agreed("cover_date")
    date = f"{When.parse(dated).label()}. " if isinstance(dated, str) else ""
    count = len(same.owned)
    if count:
        copy = t(f"purchase.ordinal.{count + 1}") if count + 1 <= ORDINALS else str(count + 1)
        return date + t("purchase.next_copy", copy=copy, number=number)
    return date + t("purchase.first_copy")


ORDINALS: Final = 5


def taken_over(issue: Mapping[str, Plain], of: Known) -> dict[str, Plain]:
    """The issue with what the collection knows of its series, where nothing was typed and all copies agree."""
    year = issue.get("start_year")
    alike = Known(tuple(row for row in of.rows if year is None or row.start_year == year))
    if not alike.rows:
        return dict(issue)
    same = alike.of_number(str(issue.get("number", "")))
    taken = {
        "publisher": alike.agreed("publisher"),
        "start_year": alike.agreed("start_year"),
        "cover_date": same.agreed("cover_date"),
    }
    return {
        **{name: value for name, value in taken.items() if value is not None},
        **issue,
        "title": alike.rows[0].title,
    }


def _found(reader: Reader, title: str) -> list[BookRow]:
    if not title.strip():
        return []
    try:
        return reader.books(BookQuery(text=title, sort="recent", descending=True, limit=PAGE_MOST)).rows
    except InvalidError:  # more words than a search may have: no title is so long
        return []


def _series(of: Known) -> str:
    year, publisher = of.agreed("start_year"), of.agreed("publisher")
    title = f"{of.rows[0].title} ({year})" if year else of.rows[0].title
    return f"{title}, {publisher}" if publisher else title


def _numbers(rows: Iterable[BookRow]) -> str:
    numbers = sorted({row.number for row in rows}, key=lambda each: (len(each), each))
    if len(numbers) > NAMED_MOST:
        return t.n("purchase.numbers", len(numbers))
    return _listed(numbers)


def _listed(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)

"""Runs and wants in words, as the pages and the list for the phone show them."""

from dataclasses import dataclass
from datetime import datetime

from ledger.runs import NumberLine, Owned, Run, spelled
from ledger.usecases.wants import Want
from web import filters
from web.wording import t

__all__ = [
    "BookLine",
    "NumberOwned",
    "RunLine",
    "WantLine",
    "missing_of",
    "number_owned",
    "run_line",
    "saved",
    "want_line",
]


@dataclass(frozen=True, kw_only=True)
class RunLine:
    """One run of the list."""

    href: str
    title: str
    year: str
    owned: str
    missing: str
    """How many; that nothing was said, where it was not."""
    double: str


@dataclass(frozen=True, kw_only=True)
class BookLine:
    """One copy of a number."""

    href: str
    words: str


@dataclass(frozen=True, kw_only=True)
class NumberOwned:
    """One number that is owned."""

    number: str
    best: BookLine
    others: tuple[BookLine, ...]
    strange: bool


@dataclass(frozen=True, kw_only=True)
class WantLine:
    """One wanted copy."""

    id: str
    title: str
    number: str
    year: str
    least: str
    most: str
    note: str
    has: BookLine | None
    """The best copy that is owned."""
    is_met: bool


def run_line(run: Run) -> RunLine:
    """A run in words."""
    exist = run.printed is not None
    said = t.n("runs.missing_count", len(run.missing)) if exist else t("runs.not_said")
    return RunLine(
        href=f"/runs/{run.key}",
        title=run.title,
        year=_year(run.start_year),
        owned=str(len(run.owned)),
        missing=said,
        double=str(len(run.double)),
    )


def missing_of(run: Run) -> str:
    """The numbers it misses, neighbours put together."""
    return spelled([each.number for each in run.missing])


def number_owned(line: NumberLine) -> NumberOwned:
    """A number that is owned, the best copy apart."""
    best, *others = map(_book, line.books)
    return NumberOwned(number=line.number, best=best, others=tuple(others), strange=not line.exists)


def want_line(want: Want) -> WantLine:
    """A want in words."""
    said = want.said
    return WantLine(
        id=want.id,
        title=said.title,
        number=said.number,
        year=_year(said.start_year) if said.start_year is not None else "",
        least=t("wants.at_least", grade=said.least.text) if said.least is not None else t("wants.any"),
        most=filters.money(said.most) if said.most is not None else t("wants.no_limit"),
        note=said.note,
        has=_book(want.best) if want.best is not None else None,
        is_met=want.is_met,
    )


def saved(now: datetime) -> str:
    """When the list was made."""
    return t("wants.made", when=filters.moment(now))


def _book(owned: Owned) -> BookLine:
    return BookLine(href=f"/books/{owned.book}", words=owned.grade or t("runs.no_grade"))


def _year(year: int | None) -> str:
    return str(year) if year is not None else t("runs.no_year")

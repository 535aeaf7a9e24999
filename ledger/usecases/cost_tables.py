"""The year and the insurance schedule as tables of text, one cell a fact, for a spreadsheet and back."""

from collections.abc import Iterator
from typing import Final

from ledger.money import Money
from ledger.rules.cost_lines import Worth
from ledger.rules.exchange import Counted
from ledger.spreadsheet_cells import written_sheet
from ledger.usecases.costs import YearReport
from ledger.usecases.insurance import Insured, Schedule
from ledger.views import BookRow

__all__ = ["SCHEDULE_HEAD", "YEAR_HEAD", "schedule_csv", "year_csv"]

YEAR_HEAD: Final = (
    *("day", "book number", "title", "issue number", "start year", "what", "amount", "currency"),
    *("counted", "home currency", "rate", "rate of", "rate told by", "entry", "book id"),
)
SCHEDULE_HEAD: Final = (
    *("book number", "title", "issue number", "start year", "publisher", "grade", "holder or certificate number"),
    *(
        "insurance value",
        "currency",
        "valued on",
        "method",
        "valid until",
        "cost so far",
        "cost currency",
        "cost complete",
    ),
    *("market value", "market currency", "market valued on", "to look at", "photographs", "book id"),
)
"""Names of the columns; they stay, so that a file of last year can be laid beside one of this year."""


def year_csv(report: YearReport) -> str:
    """Every sum of the year, a line each; what cannot be counted has an empty cell there."""
    return written_sheet([YEAR_HEAD, *_year_rows(report)])


def schedule_csv(schedule: Schedule) -> str:
    """Every book, a line each; what is not known is an empty cell."""
    return written_sheet([SCHEDULE_HEAD, *(_insured(each) for each in schedule.books)])


def _year_rows(report: YearReport) -> Iterator[list[str]]:
    for line in report.lines:
        counted = line.counted if isinstance(line.counted, Counted) else None
        rate = counted.rate if counted else None
        yield [
            str(line.day or ""),
            *_name(line.row),
            line.part.value,
            *_money(line.amount),
            counted.money.amount if counted else "",
            report.home,
            f"{rate.rate:f}" if rate else "",
            str(rate.on) if rate else "",
            rate.source if rate else "",
            str(line.seq),
            line.row.book,
        ]


def _insured(each: Insured) -> list[str]:
    row, costs = each.row, each.costs
    return [
        *_name(row),
        row.publisher or "",
        row.grade_as_written or "",
        row.holder_number or "",
        *_worth(each.value),
        each.value.method.value if each.value else "",
        str(each.value.valid_until or "") if each.value else "",
        *(_money(costs.basis) if costs else ("", "")),
        "" if costs is None else "yes" if costs.basis_whole else "no",
        *_worth(each.market),
        "; ".join(each.short),
        str(len(each.photographs)),
        row.book,
    ]


def _name(row: BookRow) -> tuple[str, ...]:
    return (str(row.no), row.title, row.number, str(row.start_year or ""))


def _worth(worth: Worth | None) -> tuple[str, str, str]:
    if worth is None:
        return "", "", ""
    amount, code = _money(worth.amount)
    return amount, code, str(worth.on or "")


def _money(money: Money | None) -> tuple[str, str]:
    return (money.amount, money.currency) if money else ("", "")

"""Whole numbers, lengths of time and lists as a sentence says them."""

from collections.abc import Sequence

from web.wording import t

__all__ = ["and_so_on", "length", "number", "or_else"]

_IN_WORDS = 12
"""Up to here a number is a word."""
_MONTH, _YEAR = 30.44, 365.25
_DAYS_MOST, _MONTHS_MOST, _YEARS_WITH_MONTHS = 45, 24, 10


def number(count: int) -> str:
    """A number as a sentence says it: a word up to twelve, figures beyond."""
    return t(f"book.numbers.{count}") if 0 < count <= _IN_WORDS else f"{count:,}"


def length(days: int) -> str:
    """A length of time as a person would say it, no more exact than it is long."""
    if days < _DAYS_MOST:
        return t.n("book.length.days", max(days, 1), number=number(max(days, 1)))
    months = round(days / _MONTH)
    if months < _MONTHS_MOST:
        return t.n("book.length.months", months, number=number(months))
    years, rest = divmod(months, _MONTHS_MOST // 2)
    said = t.n("book.length.years", years, number=number(years))
    if years >= _YEARS_WITH_MONTHS or not rest:
        return said
    return t("book.length.both", years=said, months=t.n("book.length.months", rest, number=number(rest)))


def and_so_on(parts: Sequence[str]) -> str:
    """The parts as a list in a sentence: a, b and c."""
    return _joined(parts, t("book.list.and"))


def or_else(parts: Sequence[str]) -> str:
    """The parts as a choice in a sentence: a, b or c."""
    return _joined(parts, t("book.list.or"))


def _joined(parts: Sequence[str], last: str) -> str:
    if len(parts) <= 1:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"

"""Sums that several books share: stated shares or equal ones, what can be wrong with them, and the exact parts."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from ledger.errors import Problem
from ledger.money import Money

__all__ = ["SHARE_MOST", "at_its_book", "share_flaws", "shared", "stated_shares"]

SHARE_MOST: Final = 10**6
"""The greatest share of one book. Our assumption: shares are small numbers, or prices in whole units."""


def shared(total: Money | None, shares: Sequence[int] | None, count: int) -> tuple[Money | None, ...]:
    """A sum split among books by their shares, or equally; its parts make the sum exactly.

    Raises: WeightsError. Source: largest remainder method, as in `Money.split`.
    """
    if total is None:
        return (None,) * count
    return total.split(shares if shares is not None else (1,) * count)


def stated_shares(given: Sequence[int | None]) -> list[int] | None:
    """The shares that were stated; None where none was, and the parts are equal."""
    return [each or 0 for each in given] if any(each is not None for each in given) else None


def share_flaws(shares: Sequence[int | None], at: str) -> Iterator[Problem]:
    """What is wrong with the shares, each told at its book: `AT.N.share`."""
    given = [each for each in shares if each is not None]
    for place, share in enumerate(shares):
        if share is None and given:
            sentence = "Others have a share and this one has none. Give every book one, or none."
            yield Problem(field=f"{at}.{place}.share", sentence=sentence)
        elif share is not None and not 0 <= share <= SHARE_MOST:
            sentence = f"A share is a whole number from 0 to {SHARE_MOST:,}."
            yield Problem(field=f"{at}.{place}.share", sentence=sentence)
    if given and not any(given):
        yield Problem(field=f"{at}.0.share", sentence="All shares are 0. Give at least one above 0.")


def at_its_book(problem: Problem, count: int, at: str) -> Problem:
    """What the ledger says of one event of an act, told at the place of its book."""
    head, _, rest = problem.field.partition(".")
    field = f"0.{problem.field}" if count == 1 else rest if head == "events" else problem.field
    return replace(problem, field=f"{at}.{field}".rstrip("."))

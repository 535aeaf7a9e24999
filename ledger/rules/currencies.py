"""Which currencies there are, how many decimals each counts in, and which have been withdrawn and when."""

from dataclasses import dataclass
from functools import cache

from ledger.proof.report import MalformedError
from ledger.rules._tables import Row, table

__all__ = ["Currency", "CurrencyError", "currencies", "currency"]


@dataclass(eq=False, kw_only=True)
class CurrencyError(MalformedError):
    """A code that no amount can be counted in."""

    code: str
    what: str = "Currency"
    mend: str = "Write the three capital letters of ISO 4217, for example USD, EUR or JPY."


@dataclass(frozen=True)
class Currency:
    """A currency with its ISO 4217 code and the decimals its smallest unit takes.

    `withdrawn` is the month, as list three of the standard gives it, from which the code is history; None if active.
    """

    code: str
    exponent: int
    withdrawn: str | None = None


@cache
def currencies() -> dict[str, Currency]:
    """Every currency an amount can be counted in, by code: the active ones first, then the withdrawn.

    Source: ISO 4217 list one (active) and list three (withdrawn).
    """
    return {row.id: _read(row) for row in table("currencies").rows if row.fields["exponent"] is not None}


def currency(code: str) -> Currency:
    """The currency of this code, withdrawn ones among them: old purchases were paid in them.

    Raises: CurrencyError, if ISO 4217 has no such code or the code has no smallest unit (gold, testing, no currency).
    """
    found = currencies().get(code)
    if found is not None:
        return found
    if table("currencies").row(code) is not None:
        raise CurrencyError(
            code=code, problem=f"{code} has no smallest unit in ISO 4217, so no amount can be counted in it"
        )
    raise CurrencyError(code=code, problem=f"ISO 4217 has no currency {code!r}")


def _read(row: Row) -> Currency:
    return Currency(row.id, row.whole("exponent"), row.text("withdrawn") if "withdrawn" in row.fields else None)

"""Money in whole smallest units: added, compared and split without losing one; and amounts as people write them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import total_ordering
from typing import Any, Literal

from ledger._wire import object_value
from ledger._written_amounts import COMMA_DECIMALS, POINT_DECIMALS, doubt, minor_units, sure_way, written
from ledger.proof.report import MalformedError
from ledger.rules._tables import table
from ledger.rules.currencies import currency
from ledger.rules.largest_remainder import shared_out

__all__ = [
    "COMMA_DECIMALS",
    "MINOR_MOST",
    "POINT_DECIMALS",
    "AmbiguousAmountError",
    "Money",
    "MoneyError",
    "OtherCurrencyError",
    "WeightsError",
    "read_amount",
]

MINOR_MOST = 2**53 - 1
"""The largest whole number that every JSON reader keeps exact. Source: RFC 8259 section 6."""


@dataclass(eq=False, kw_only=True)
class MoneyError(MalformedError):
    """An amount that cannot be one."""

    what: str = "Amount"


@dataclass(eq=False, kw_only=True)
class OtherCurrencyError(MoneyError):
    """Two amounts that do not count the same unit, so nothing follows from putting them together."""

    left: str
    right: str
    problem: str = "the two amounts are in different currencies"
    mend: str = "Convert one of them first, with the rate and its date."

    def __str__(self) -> str:
        return f"{self.what}: {self.left} and {self.right} are different currencies. {self.mend}"


@dataclass(eq=False, kw_only=True)
class WeightsError(MoneyError):
    """Weights by which nothing can be split."""

    what: str = "Split"
    weights: tuple[object, ...]


@dataclass(eq=False, kw_only=True)
class AmbiguousAmountError(MoneyError):
    """Marks that could stand for thousands or for decimals; `readings` maps each way to what the amount would be.

    `sure` is the way that both marks together say; only who sees the amount as it was read may take it.
    """

    text: str
    readings: dict[str, str]
    sure: Literal["1.234,50"] | None = None
    problem: str = "the marks can be read in two ways"
    mend: str = f"State which marks are in use, {POINT_DECIMALS} or {COMMA_DECIMALS}, or write a plain 1250.00."

    def __str__(self) -> str:
        meant = " and ".join(f"with marks as in {reading} it is {amount}" for reading, amount in self.readings.items())
        return f"{self.what}: {self.text!r} can be read in two ways: {meant}. {self.mend}"


@total_ordering
@dataclass(frozen=True)
class Money:
    """An amount of one currency, counted in its smallest unit.

    Units: `minor` in the smallest unit of `currency`; `exponent` is its number of decimals on that day.
    Keeps: no fraction of a unit is ever made or lost.
    Source: ISO 4217 for code and exponent.
    """

    minor: int
    currency: str
    exponent: int

    def __post_init__(self) -> None:
        if type(self.minor) is not int:
            raise MoneyError(
                where="minor", problem=f"{self.minor!r} is no whole number", mend="Count whole smallest units."
            )
        if not -MINOR_MOST <= self.minor <= MINOR_MOST:
            raise MoneyError(
                where="minor",
                problem=f"this sum is beyond {MINOR_MOST:,} smallest units, the most that can be counted here",
                mend="Look whether a digit is too many.",
            )
        known = currency(self.currency)
        if type(self.exponent) is not int or self.exponent != known.exponent:
            raise MoneyError(
                where="exponent",
                problem=f"{self.currency} has {known.exponent} decimals in ISO 4217, not {self.exponent!r}",
                mend=f"Write exponent {known.exponent}, and count the amount in that unit.",
            )

    @classmethod
    def of(cls, amount: str, code: str) -> "Money":
        """The amount written plainly: digits, a point, and exactly the currency's decimals ("1250.00").

        Raises: MoneyError, for any other spelling; CurrencyError, for a code no amount is counted in.
        """
        exponent = currency(code).exponent
        decimals = rf"\.[0-9]{{{exponent}}}" if exponent else ""
        found = re.fullmatch(rf"(-?)(0|[1-9][0-9]{{0,15}})({decimals})", amount)
        minor = int(found[2] + found[3][1:]) if found else 0
        if not found or (found[1] and not minor):
            raise MoneyError(
                problem=f"{amount!r} is not a plain amount of {code}",
                mend=f"Write it like {_example(code).amount}.",
            )
        return cls(-minor if found[1] else minor, code, exponent)

    @classmethod
    def zero(cls, code: str) -> "Money":
        """Nothing, in this currency; where a sum starts."""
        return cls(0, code, currency(code).exponent)

    @property
    def amount(self) -> str:
        """The amount without its code ("1250.00")."""
        digits = str(abs(self.minor)).rjust(self.exponent + 1, "0")
        cut = len(digits) - self.exponent
        point = "." if self.exponent else ""
        return f"{'-' if self.minor < 0 else ''}{digits[:cut]}{point}{digits[cut:]}"

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"

    def __add__(self, other: "Money") -> "Money":
        self._same(other)
        return Money(self.minor + other.minor, self.currency, self.exponent)

    def __sub__(self, other: "Money") -> "Money":
        self._same(other)
        return Money(self.minor - other.minor, self.currency, self.exponent)

    def __neg__(self) -> "Money":
        return Money(-self.minor, self.currency, self.exponent)

    def __lt__(self, other: "Money") -> bool:
        self._same(other)
        return self.minor < other.minor

    def split(self, weights: Sequence[int]) -> tuple["Money", ...]:
        """Parts in proportion to the weights, whose sum is exactly this amount.

        Each part is its quota rounded down; the units left over go to the largest fractions, ties to the earlier.
        A negative amount is split as its opposite. Requires: whole weights from 0 up, at least one above 0.
        Source: largest remainder method (Hare quota).
        """
        if not all(type(weight) is int and weight >= 0 for weight in weights) or not any(weights):
            raise WeightsError(
                weights=tuple(weights),
                problem="weights are whole numbers from 0 up, at least one of them above 0",
                mend="Give each part a weight, for example its price in the smallest unit.",
            )
        sign = -1 if self.minor < 0 else 1
        parts = shared_out(abs(self.minor), weights)
        return tuple(Money(sign * part, self.currency, self.exponent) for part in parts)

    def _same(self, other: "Money") -> None:
        if (self.currency, self.exponent) != (other.currency, other.exponent):
            raise OtherCurrencyError(left=self.currency, right=other.currency)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: object, handler: object) -> dict[str, Any]:
        """All three fields are required: the exponent tells a writer who counts in other units apart."""
        fields = {
            "minor": {"type": "int", "strict": True, "ge": -MINOR_MOST, "le": MINOR_MOST},
            "currency": {"type": "str", "strict": True},
            "exponent": {"type": "int", "strict": True, "ge": 0, "le": 4},
        }
        return object_value(cls, fields, lambda given: cls(**given), lambda money: dict(vars(money)))

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: object, handler: object) -> dict[str, Any]:
        """What a caller of the API reads about an amount."""
        return {
            "title": "Money",
            "description": "An amount in whole smallest units of its currency.",
            "type": "object",
            "additionalProperties": False,
            "required": ["minor", "currency", "exponent"],
            "properties": {
                "minor": {
                    "type": "integer",
                    "minimum": -MINOR_MOST,
                    "maximum": MINOR_MOST,
                    "title": "Minor",
                    "description": "The amount in the smallest unit: 125000 for 1250.00 USD.",
                },
                "currency": {
                    "type": "string",
                    "pattern": "^[A-Z]{3}$",
                    "title": "Currency",
                    "description": "ISO 4217 code, active or withdrawn.",
                },
                "exponent": {
                    "type": "integer",
                    "minimum": 0,
                    "maximum": 4,
                    "title": "Exponent",
                    "description": "Decimals of that currency in ISO 4217: 2 for USD, 0 for JPY, 3 for KWD.",
                },
            },
            "examples": [{"minor": 125000, "currency": "USD", "exponent": 2}],
        }


def read_amount(
    text: str, *, currency: str | None = None, reading: Literal["1,234.50", "1.234,50"] | None = None
) -> Money:
    """The amount somebody wrote ("1 250,00", "USD 1250"); show it back as its text.

    `currency` is the one stated for the field or file; a sign such as $ never states one. `reading` says how the marks
    stand. Raises: AmbiguousAmountError, where thousands and decimals could be taken for each other.
    """
    parts = written(text)
    if parts is None:
        raise MoneyError(
            problem=f"{text!r} cannot be read as an amount", mend=f"Write it like {_example(currency or 'USD')}."
        )
    code = _stated(text, currency, parts.code, parts.sign)
    exponent = Money.zero(code).exponent
    sign = -1 if parts.negative else 1
    if reading is None:
        readings = doubt(parts.digits, exponent)
        if readings is not None:
            raise AmbiguousAmountError(text=text, readings=readings, sure=sure_way(parts.digits, exponent))
    ways = (reading,) if reading else (POINT_DECIMALS, COMMA_DECIMALS)
    for way in ways:
        minor = minor_units(parts.digits, exponent, way)
        if minor is not None:
            return Money(sign * minor, code, exponent)
    raise MoneyError(
        problem=f"{text!r} is no amount of {code} with marks as in {' or '.join(ways)}",
        mend=f"{code} has {exponent} decimals; write it like {_example(code).amount}.",
    )


def read_shown_amount(
    text: str, *, currency: str | None = None, reading: Literal["1,234.50", "1.234,50"] | None = None
) -> Money:
    """The amount somebody wrote who sees it as it was read: `reading` decides only what its marks leave open.

    Raises: AmbiguousAmountError, where they leave it open and no reading is stated.
    """
    try:
        return read_amount(text, currency=currency)
    except AmbiguousAmountError as error:
        return read_amount(text, currency=currency, reading=error.sure or reading)


def _example(code: str) -> Money:
    """How an amount of this currency is written, with the decimals it has."""
    exponent = currency(code).exponent
    return Money(1250 * 10**exponent, code, exponent)


def _stated(text: str, stated: str | None, code: str | None, sign: str | None) -> str:
    """The one currency that the field and the text agree on."""
    if stated is not None and code is not None and stated != code:
        raise OtherCurrencyError(left=stated, right=code)
    found = stated or code
    if found is None:
        mend = "Name it by its three letters, for example 1250.00 USD; several currencies share a sign."
        raise MoneyError(problem=f"{text!r} does not say which currency it is in", mend=mend)
    signs = table("currency_signs").row(sign) if sign else None
    if sign and (signs is None or found not in signs.texts("codes")):
        raise MoneyError(
            problem=f"the sign {sign} does not stand for {found}", mend="Leave the sign out, or change it."
        )
    return found

"""What is sent and told of comparables: sales of an issue, a table of them, and what they say a grade is worth."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from api.queries import Asked as Parameters
from api.queries import Step
from api.schemas import Answer
from ledger.events._parts import Holding, Issue
from ledger.market import Came, KeptSale
from ledger.money import COMMA_DECIMALS, POINT_DECIMALS, Money
from ledger.proof.envelope import moment_text
from ledger.rules.fair_price import How
from ledger.rules.grades import Grade
from ledger.sale_rows import TONE_MOST, WHERE_MOST, SaleSaid
from ledger.sale_table import ROWS_MOST
from ledger.usecases.comparables import REASON_MOST
from ledger.when import When

__all__ = [
    "ComparableAnswer",
    "ComparableBody",
    "ComparableChange",
    "ComparableList",
    "IssueAsked",
    "TableBody",
    "ValueAnswer",
    "ValueAsked",
    "told_sale",
]

_TEXT = r"^[^\x00-\x1f\x7f]*$"
_CODE = r"^[A-Z]{3}$"


class _IssueFields(BaseModel):
    """What tells one issue from another."""

    title: str = Field(
        min_length=1, max_length=200, pattern=_TEXT, description="Series title.", examples=["Harbor Lamp"]
    )
    number: str = Field(min_length=1, max_length=40, pattern=_TEXT, description="Number as printed.", examples=["14"])
    start_year: int | None = Field(
        None, ge=1800, le=2999, description="Series start year; another year is another issue.", examples=[1952]
    )
    printing: int | None = Field(None, ge=1, le=99, description="Printing; left out, it is the first.", examples=[1])
    variant: str | None = Field(
        None, max_length=200, pattern=_TEXT, description="Variant; left out, there is none.", examples=["B"]
    )

    def issue(self) -> Issue:
        """As the ledger knows it."""
        return Issue(**self.model_dump())


class IssueAsked(_IssueFields, Parameters):
    """Which issue."""


class IssueBody(_IssueFields):
    """Which issue was sold."""

    model_config = ConfigDict(extra="forbid")


class ComparableChange(BaseModel):
    """What is told otherwise of a sale; what is left out stays as it was."""

    model_config = ConfigDict(extra="forbid")

    on: When | None = Field(None, description="When it was sold; null is not known.")
    grade: Grade | None = Field(
        None, description="In which grade, as its seller or service stated it; null is not known."
    )
    price: Money | None = Field(None, description="What was paid, above zero.")
    where: str = Field("", max_length=WHERE_MOST, description="Venue or listing.")
    holding: Holding = Field(Holding.NOT_STATED, description="In a sealed holder or not.")
    tone: str = Field("", max_length=TONE_MOST, description="Page tone as it was told.")
    left_out: str = Field("", max_length=REASON_MOST, description="Why it does not count; empty lets it count.")

    def said(self, before: SaleSaid) -> SaleSaid:
        """The sale as it is told now."""
        told = _said(self)
        given = {name for name in self.model_fields_set if name not in ("left_out", "price")}
        values = {name: getattr(told if name in given else before, name) for name in SaleSaid.__dataclass_fields__}
        if self.price is not None:
            values |= {"price": told.price, "currency": told.currency}
        return SaleSaid(**values)


class ComparableBody(BaseModel):
    """One sale of an issue."""

    model_config = ConfigDict(extra="forbid")

    issue: IssueBody = Field(description="What was sold.")
    on: When | None = Field(None, description="When it was sold; null is not known, and then it does not count.")
    grade: Grade | None = Field(None, description="In which grade; null is not known, and then it does not count.")
    price: Money = Field(description="What was paid, above zero.")
    where: str = Field("", max_length=WHERE_MOST, description="Venue or listing.")
    holding: Holding = Field(Holding.NOT_STATED, description="In a sealed holder or not.")
    tone: str = Field("", max_length=TONE_MOST, description="Page tone as it was told.")

    def said(self) -> SaleSaid:
        """As the ledger hears it."""
        return _said(self)


class TableBody(BaseModel):
    """A table of sales of one issue, as text."""

    model_config = ConfigDict(extra="forbid")

    issue: IssueBody = Field(description="What was sold.")
    table: str = Field(
        description="Rows with a date, a grade and a price each, set apart by tabs, semicolons or commas, with a line of "
        "names or without; dates, grades and prices as people write them."
    )
    currency: str | None = Field(None, pattern=_CODE, description="Currency of prices that do not say theirs.")
    marks: Literal["1,234.50", "1.234,50"] | None = Field(
        None, description=f"How the marks of amounts stand: {POINT_DECIMALS} or {COMMA_DECIMALS}; null where they tell."
    )
    order: Literal["dmy", "mdy", "ymd"] | None = Field(
        None, description="In which order dates in numbers stand; null where they tell."
    )
    rows: list[Annotated[int, Field(ge=1, le=ROWS_MOST)]] | None = Field(
        None, max_length=ROWS_MOST, description="Numbers of the rows to keep, from 1 and without the head; null is all."
    )
    keep_doubles: bool = Field(default=False, description="Rows that are likely told already are kept all the same.")


class ComparableAnswer(Answer):
    """One sale of an issue."""

    id: str = Field(description="Id of the comparable.", examples=["c5o2m4p6a3r7a2b4l5e3s7a2l4"])
    title: str = Field(description="Series title.")
    number: str = Field(description="Number as printed.")
    start_year: int | None = Field(description="Series start year; null is not known.")
    printing: int | None = Field(description="Printing; null is the first.")
    variant: str | None = Field(description="Variant; null is none.")
    on: When | None = Field(description="When it was sold; null is not known.")
    grade: Grade | None = Field(description="In which grade; null is not known.")
    price: Money = Field(description="What was paid.")
    where: str = Field(description="Venue or listing.")
    holding: Holding = Field(description="In a sealed holder or not.")
    tone: str = Field(description="Page tone as it was told.")
    came: Came = Field(description="How it was written down.")
    left_out: str = Field(description="Why it does not count; empty where it does.")
    made: str = Field(description="When it was kept. Units: UTC.")


class ComparableList(Answer):
    """Sales of an issue."""

    comparables: list[ComparableAnswer] = Field(
        description="The sales in the order they were kept, those left out too."
    )


class ValueAsked(Parameters):
    """For which grade, and how."""

    grade: Step = Field(description="Step of the ten-point scale.", examples=["7.5"])
    currency: str = Field(pattern=_CODE, description="ISO 4217 code of the currency asked for.", examples=["USD"])
    on: str | None = Field(
        None,
        pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
        description="Day of the valuation; left out, it is today. Units: ISO 8601 date.",
        examples=["2026-03-01"],
    )


class PriceAnswer(Answer):
    """What a grade is worth."""

    mid: Money = Field(description="Middle price: as many sales are expected above as below.")
    low: Money = Field(description="Lower end of the band for a single sale.")
    high: Money = Field(description="Upper end of the band for a single sale.")
    how: How = Field(description="What it rests on.")
    grades: list[Grade] = Field(description="Its neighbours: the grades whose sales it rests on.")
    sales: list[str] = Field(description="Ids of these sales.")


class AdjustmentAnswer(Answer):
    """Whether a difference in holder or page tone was allowed for."""

    of: str = Field(description="The holder, or the page tone.")
    like: int = Field(description="Sales like the book, at grades where others were sold too.")
    unlike: int = Field(description="Sales of the other sort at these grades.")
    needed: int = Field(description="How many of either are needed.")
    percent: int | None = Field(
        description="By how much those like the book sold for more; null where that cannot be told. Units: percent."
    )


class AsideAnswer(Answer):
    """A comparable that does not count."""

    id: str = Field(description="Id of the comparable.")
    why: str = Field(description="Why it does not count.")


class ValueAnswer(Answer):
    """What the comparables of a book's issue say of a grade."""

    grade: Grade = Field(description="The grade that was asked for.")
    on: str = Field(description="Day of the valuation. Units: ISO 8601 date.")
    currency: str = Field(description="ISO 4217 code of all prices here.")
    count: int = Field(description="How many sales count.")
    least: int = Field(description="How many are needed.")
    half_life_days: int = Field(description="Age at which a sale counts half as much as one of the day. Units: days.")
    band_percent: int = Field(description="Share of single sales that the band is to hold. Units: percent.")
    value: PriceAnswer | None = Field(
        description="Null where too few sales count, or the grade lies beyond them: nothing is extrapolated."
    )
    at_least: Money | None = Field(
        description="Beyond the best grade sold: its price, which is a lower bound; else null."
    )
    at_most: Money | None = Field(description="Below the lowest grade sold: its price, an upper bound; else null.")
    adjustments: list[AdjustmentAnswer] = Field(description="What was allowed for; empty where too few sales count.")
    aside: list[AsideAnswer] = Field(description="Comparables that do not count, each with why.")


def told_sale(sale: KeptSale) -> ComparableAnswer:
    """One comparable as it is told."""
    issue = sale.issue
    return ComparableAnswer(
        id=sale.id,
        title=issue.title,
        number=issue.number,
        start_year=issue.start_year,
        printing=issue.printing,
        variant=issue.variant,
        on=sale.on,
        grade=sale.grade,
        price=sale.price,
        where=sale.where,
        holding=sale.holding,
        tone=sale.tone,
        came=sale.came,
        left_out=sale.left_out,
        made=moment_text(sale.made),
    )


def _said(told: ComparableBody | ComparableChange) -> SaleSaid:
    return SaleSaid(
        on=told.on.text if told.on else "",
        grade=told.grade.text if told.grade else "",
        price=told.price.amount if told.price else "",
        currency=told.price.currency if told.price else "",
        where=told.where,
        holding=told.holding.value,
        tone=told.tone,
    )

"""The forms of a fair value: what is asked, one sale by hand, a table, and the valuation that comes of it."""

from collections.abc import Mapping
from typing import Final

from ledger.accounts import DATE_ORDERS, MARKS, Preferences
from ledger.errors import InvalidError, Problem
from ledger.events._parts import Holding
from ledger.events.valuation import Purpose
from ledger.market import KeptSale
from ledger.money import Money
from ledger.ports import Ledger
from ledger.proof.report import MalformedError
from ledger.rules.currencies import currencies
from ledger.rules.fair_price import value_at
from ledger.rules.grades import Grade, GradeError, grades
from ledger.sale_rows import FIELDS, Reading, SaleSaid
from ledger.sale_table import decoded
from ledger.sales import Asked
from ledger.usecases.comparables import Valued
from ledger.when import When
from web.form_values import Answer, Habits, amount_read, date_read
from web.posted import Posted
from web.value_subject import Subject
from web.wording import t

__all__ = [
    "AT",
    "HOLDINGS",
    "MARK_WAYS",
    "ORDER_WAYS",
    "PURPOSES",
    "asked_of",
    "grade_of",
    "placed",
    "reading_of",
    "said_of",
    "table_of",
    "valuation_of",
    "valuation_values",
    "values_of",
]

AT: Final = "sale."
"""Before the names of one sale's fields."""
HOLDINGS: Final = tuple(
    (each.value, t(f"value.holding.{name}"))
    for each, name in ((Holding.NOT_STATED, "not_stated"), (Holding.RAW, "raw"), (Holding.SLABBED, "slabbed"))
)
ORDER_WAYS: Final = (("", t("value.as_preferred")), *((each, t(f"value.orders.{each}")) for each in DATE_ORDERS))
MARK_WAYS: Final = (("", t("value.as_preferred")), *((each, each) for each in MARKS))
PURPOSES: Final = tuple((each.value, t(f"value.purpose.{each.value}")) for each in Purpose)


def asked_of(
    ledger: Ledger, subject: Subject, preferences: Preferences, given: Mapping[str, str], sales: tuple[KeptSale, ...]
) -> Asked:
    """For what a value is asked: as it was chosen, else as the book is, in the collector's currency or the sales' own."""
    codes = [sale.price.currency for sale in sales]
    common = max(sorted(set(codes)), key=codes.count, default="USD")
    code = given.get("currency", "").strip().upper()
    holding = next((each for each in Holding if each.value == given.get("holding")), subject.holding)
    return Asked(
        on=ledger.clock.today(),
        currency=code if code in currencies() else preferences.currency or common,
        holding=holding,
        tone=given["tone"].strip() if "tone" in given else subject.tone,
    )


def grade_of(subject: Subject, given: Mapping[str, str]) -> Grade | None:
    """The grade asked for, else that of the book."""
    try:
        return Grade(given.get("grade", ""))
    except GradeError:
        return subject.grade


def reading_of(ledger: Ledger, preferences: Preferences, posted: Posted) -> Reading:
    """By what dates and amounts are read: as stated in the form, else as the person prefers."""
    code = posted.get("currency").upper()
    order = next((each for each in DATE_ORDERS if each == posted.get("order")), preferences.date_order)
    marks = next((each for each in MARKS if each == posted.get("marks")), preferences.marks)
    return Reading(day=ledger.clock.today(), currency=code or preferences.currency, marks=marks, order=order)


def said_of(posted: Posted) -> SaleSaid:
    """One sale as it was typed."""
    return SaleSaid(**{name: posted.get(f"{AT}{name}") for name in FIELDS})


def values_of(sale: KeptSale) -> dict[str, str]:
    """One sale as it would be typed."""
    return {
        f"{AT}on": sale.on.label() if sale.on else "",
        f"{AT}grade": sale.grade.text if sale.grade else "",
        f"{AT}price": sale.price.amount,
        f"{AT}currency": sale.price.currency,
        f"{AT}where": sale.where,
        f"{AT}holding": sale.holding.value,
        f"{AT}tone": sale.tone,
    }


def placed(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Problems of one sale at their inputs."""
    return tuple(Problem(field=f"{AT}{each.field}", sentence=each.sentence) for each in problems)


def table_of(posted: Posted) -> tuple[str, bool]:
    """The table that was pasted or sent, and whether it came as a file.

    Raises: InvalidError.
    """
    for file in posted.files("file"):
        try:
            return decoded(file.data), True
        except MalformedError as error:
            raise InvalidError(problems=(Problem(field="file", sentence=str(error)),)) from error
    return posted.raw("table"), posted.get("came") == "file"


def valuation_values(valued: Valued, grade: Grade | None) -> dict[str, str]:
    """The form of a valuation as it is filled in: today, this grade, its middle price."""
    value = value_at(valued.fit, grade) if grade is not None else None
    return {
        "at_grade": grade.text if grade is not None and value is not None else "",
        "amount": str(value.mid) if value is not None else "",
        "on": When.of_day(valued.asked.on).label(),
        "purpose": Purpose.MARKET.value,
        "valid_until": "",
    }


def valuation_of(posted: Posted, habits: Habits, code: str) -> tuple[Grade, Money, When, Purpose, When | None]:
    """What was typed into it.

    Raises: InvalidError with every problem.
    """
    problems: list[Problem] = []
    texts = {name: posted.get(name) for name in ("amount", "on", "valid_until")}
    amount = _taken("amount", amount_read(texts["amount"], _in(habits, code)) if texts["amount"] else None, problems)
    on = _taken("on", date_read(texts["on"], habits) if texts["on"] else None, problems)
    until = date_read(texts["valid_until"], habits) if texts["valid_until"] else Answer(plain="")
    ends = _taken("valid_until", until, problems)
    grade = next((each for each in grades() if each.text == posted.get("at_grade")), None)
    purpose = next((each for each in Purpose if each.value == posted.get("purpose")), None)
    if grade is None:
        problems.append(Problem(field="at_grade", sentence=t("value.choose_grade")))
    if purpose is None:
        problems.append(Problem(field="purpose", sentence=t("new_entry.not_offered")))
    if problems or grade is None or purpose is None:
        raise InvalidError(problems=tuple(problems))
    when = When.parse(str(on))
    if when.earliest_day > habits.today:
        raise InvalidError(problems=(Problem(field="on", sentence=t("value.to_come")),))
    assert isinstance(amount, dict)  # an amount that was read
    return grade, Money(**amount), when, purpose, When.parse(str(ends)) if ends else None


def _taken(field: str, answer: Answer | None, problems: list[Problem]) -> object:
    """What was read, or its fault at the field."""
    if answer is None:
        problems.append(Problem(field=field, sentence=t("new_entry.needed")))
        return None
    if answer.fault:
        ways = "; ".join(words for _, words in answer.choices)
        problems.append(Problem(field=field, sentence=f"{answer.fault} {ways}".strip()))
    return answer.plain


def _in(habits: Habits, code: str) -> Habits:
    """An amount without a currency is in that of the fair value."""
    return Habits(today=habits.today, currency=code, marks=habits.marks, date_order=habits.date_order)

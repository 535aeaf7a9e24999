"""By what a book's choices are weighed, as it is typed into the address and read; what is left empty is not guessed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from ledger.money import Money
from ledger.outlook_said import OutlookSaidError, read_outlook
from ledger.rules.currencies import CurrencyError
from ledger.rules.grades import Grade, GradeError
from ledger.rules.worth import WHOLE, Choice
from ledger.usecases.weighing import Weighing
from ledger.usecases.weighing_values import Said, ValueUsed
from web import filters
from web.form_values import Habits, amount_read
from web.wording import t

__all__ = ["WorthField", "WorthForm", "WorthRead", "form_told", "said_of"]

SPENT: Final = ("work", "session", "grading", "postage")
GRADED: Final = "graded."
RAW: Final = "raw."
RISK: Final = "risk."
DAYS: Final = "days."
DAYS_MOST: Final = 9999
RISKED: Final = (Choice.WORK_THEN_GRADE, Choice.ONE_MORE_SESSION)
TIMED: Final = (Choice.SELL_RAW, *RISKED)


@dataclass(frozen=True, kw_only=True)
class WorthField:
    """One thing that is asked for; `reading` is how it was read, or what counts while nothing is typed."""

    name: str
    label: str
    value: str
    reading: str
    fault: str


@dataclass(frozen=True, kw_only=True)
class WorthForm:
    """All of them, part by part."""

    amounts: tuple[WorthField, ...]
    shares: tuple[WorthField, ...]
    days: tuple[WorthField, ...]
    raw: tuple[WorthField, ...]
    graded: tuple[WorthField, ...]
    after: WorthField
    at_least: WorthField


@dataclass(frozen=True, kw_only=True)
class WorthRead:
    """What was said, and what is wrong with it by field."""

    said: Said
    faults: Mapping[str, str]


def said_of(asked: Mapping[str, str], habits: Habits) -> WorthRead:
    """What the address says; a field with a fault counts as left out, and the fault is told."""
    reader = _Reader(asked, habits)
    code = reader.code()
    reader.habits = replace(habits, currency=code or habits.currency)
    raw, graded = reader.values(RAW), reader.values(GRADED)
    spent: dict[str, Any] = {name: reader.amount(name) for name in ("given_up", *SPENT)}
    said = Said(
        currency=code or habits.currency,
        raw=raw,
        graded=graded,
        sale_keeps=reader.whole("sale", WHOLE),
        harm_takes=reader.whole("takes", WHOLE),
        risks=reader.wholes(RISK, RISKED, WHOLE),
        days=reader.wholes(DAYS, TIMED, DAYS_MOST),
        after=reader.weights("after"),
        at_least=reader.grade("at_least"),
        **spent,
    )
    return WorthRead(said=said, faults=reader.faults)


class _Reader:
    """Reads one field after the other and remembers what is wrong."""

    def __init__(self, asked: Mapping[str, str], habits: Habits) -> None:
        self.asked = {name: text.strip() for name, text in asked.items() if text.strip()}
        self.habits = habits
        self.faults: dict[str, str] = {}

    def code(self) -> str | None:
        """The currency that all amounts are in; None where none is named."""
        code = self.asked.get("currency", "").upper()
        if not code:
            return None
        try:
            Money.zero(code)
        except CurrencyError:
            self.faults["currency"] = t("worth.no_currency")
            return None
        return code

    def amount(self, name: str) -> Money | None:
        """An amount as people write it."""
        text = self.asked.get(name, "")
        if not text:
            return None
        answer = amount_read(text, self.habits)
        if answer.fault or not isinstance(answer.plain, dict):
            self.faults[name] = answer.fault or t("worth.no_amount")
            return None
        found = Money(**answer.plain)  # type: ignore[arg-type]
        if found.minor < 0:
            self.faults[name] = t("worth.below_zero")
        elif self.habits.currency and found.currency != self.habits.currency:
            self.faults[name] = t("worth.other_currency", currency=self.habits.currency)
        else:
            return found
        return None

    def values(self, prefix: str) -> dict[Grade, Money]:
        """What steps bring, as they are typed."""
        found = {}
        for name in [each for each in self.asked if each.startswith(prefix)]:
            try:
                step = Grade(name.removeprefix(prefix))
            except GradeError:
                continue
            if (amount := self.amount(name)) is not None:
                found[step] = amount
        return found

    def whole(self, name: str, most: int) -> int | None:
        """A whole number from 0 up to that."""
        text = self.asked.get(name, "")
        if not text:
            return None
        if text.isascii() and text.isdecimal() and len(text) <= len(str(most)) and int(text) <= most:
            return int(text)
        self.faults[name] = t("worth.no_whole", most=most)
        return None

    def wholes(self, prefix: str, of: tuple[Choice, ...], most: int) -> dict[Choice, int]:
        """The same of each choice."""
        found = {each: self.whole(f"{prefix}{each.value}", most) for each in of}
        return {each: number for each, number in found.items() if number is not None}

    def weights(self, name: str) -> dict[Grade, int] | None:
        """An outlook as people write it."""
        text = self.asked.get(name, "")
        if not text:
            return None
        try:
            return dict(read_outlook(text).weights)
        except OutlookSaidError as error:
            self.faults[name] = f"{error.problem[:1].upper()}{error.problem[1:]}. {error.mend}"
            return None

    def grade(self, name: str) -> Grade | None:
        """A step of the scale."""
        text = self.asked.get(name, "")
        if not text:
            return None
        try:
            return Grade(text)
        except GradeError:
            self.faults[name] = t("worth.no_grade")
            return None


def form_told(found: Weighing, read: WorthRead, asked: Mapping[str, str]) -> WorthForm:
    """Every field with what was typed, and what counts where nothing is."""

    def field(name: str, label: str, reading: str = "") -> WorthField:
        fault = read.faults.get(name, "")
        return WorthField(name=name, label=label, value=asked.get(name, ""), reading=reading, fault=fault)

    def assumed(name: str, label: str, typed: int | None, figure: int) -> WorthField:
        return field(name, label, "" if typed is not None else t("worth.assumed", figure=figure))

    def step(prefix: str, each: ValueUsed) -> WorthField:
        return field(f"{prefix}{each.grade}", t("worth.brings", grade=each.grade), _from_sales(each))

    said, by = read.said, found.assumed
    work = by[Choice.WORK_THEN_GRADE]
    return WorthForm(
        amounts=(
            field("currency", t("worth.fields.currency"), t("worth.counts", what=found.currency)),
            field("given_up", t("worth.fields.given_up"), _from_sales(found.given_up)),
            *(field(name, t(f"worth.fields.{name}")) for name in SPENT),
        ),
        shares=(
            assumed("sale", t("worth.fields.sale"), said.sale_keeps, work.sale_keeps_per_mille),
            *(
                assumed(
                    f"{RISK}{each.value}", t(f"worth.risk.{_word(each)}"), said.risks.get(each), by[each].risk_per_mille
                )
                for each in RISKED
            ),
            assumed("takes", t("worth.fields.takes"), said.harm_takes, work.harm_takes_per_mille),
        ),
        days=tuple(
            assumed(f"{DAYS}{each.value}", t(f"worth.days.{_word(each)}"), said.days.get(each), by[each].days)
            for each in TIMED
        ),
        raw=tuple(step(RAW, each) for each in found.raw),
        graded=tuple(step(GRADED, each) for each in found.graded),
        after=field("after", t("worth.fields.after")),
        at_least=field("at_least", t("worth.fields.at_least"), t("worth.counts", what=found.at_least or "")),
    )


def _from_sales(each: ValueUsed) -> str:
    """What counts while nothing is typed: what sales say; nothing where it was typed."""
    if each.typed:
        return filters.money(each.value)
    if each.value is None:
        return t("worth.no_sales")
    return t("worth.from_sales", amount=filters.money(each.value))


def _word(choice: Choice) -> str:
    return choice.value.replace("-", "_")

"""What somebody typed into one field, read leniently: the value, how it was read, or what is wrong and its mend."""

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from ledger.accounts import DATE_ORDERS, MARKS, DateOrder, Marks
from ledger.money import AmbiguousAmountError, Money, read_amount, read_shown_amount
from ledger.proof.canonical import Plain
from ledger.proof.report import MalformedError
from ledger.rules.grades import Grade, grades, read_stated
from ledger.when import AmbiguousDateError, When, read_when
from web import filters
from web.form_fields import Leaf, Way
from web.wording import t

__all__ = ["ABSENT", "GRADE", "NO_STEP", "Answer", "Habits", "amount_read", "date_read", "grade_read", "understood"]

GRADE: Final = "as_written"
"""Name of a field that holds a grade as somebody wrote it."""
NO_STEP: Final = "none"
"""Sent where a stated grade means no step at all."""
_WHOLE: Final = re.compile(r"-?[0-9]{1,18}")
_POINT: Final = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_COMMA: Final = re.compile(r"-?[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})")
_LAST_DAYS: Final = re.compile(r"\b(29|30|31)(?:st|nd|rd|th)?\b")
_BARE: Final = re.compile(r"[0-9][0-9.,\s]*")
_CODE: Final = re.compile(r"[A-Za-z]{3}")


class _Absent:
    """Nothing was typed."""


ABSENT: Final = _Absent()


@dataclass(frozen=True, kw_only=True)
class Habits:
    """By what a person's amounts and dates are read."""

    today: date
    currency: str | None = None
    marks: Marks | None = None
    date_order: DateOrder | None = None


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One field, read: `plain` is its value, `said` tells how it was read, `fault` what is wrong.

    `choices` are the ways in which it could be meant, `habit` what was chosen among them, if anything was.
    """

    plain: "Plain | _Absent" = ABSENT
    said: str = ""
    fault: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    habit: tuple[str, str] = ("", "")


def understood(leaf: Leaf, typed: Sequence[str], picked: str, habits: Habits) -> Answer:
    """What was typed into a field; `picked` is the way of reading that was chosen for it."""
    values = [unicodedata.normalize("NFC", each) for each in typed]
    if leaf.way in _ANSWERED:
        return _ANSWERED[leaf.way](leaf, values)
    text = values[0].strip() if values else ""
    if not text:
        return Answer(fault=t("new_entry.needed")) if leaf.needed else Answer()
    if leaf.way in _WRITTEN:
        return _WRITTEN[leaf.way](leaf, text)
    return amount_read(text, habits, picked) if leaf.way is Way.MONEY else date_read(text, habits, picked)


def amount_read(text: str, habits: Habits, picked: str = "") -> Answer:
    """An amount as people write it; where its marks leave a doubt, the person's own, or the way that was chosen, decides."""
    marks = next((each for each in MARKS if picked == f"{each} {text}"), None)
    try:
        return _amount(read_shown_amount(text, currency=_stated(text, habits)))
    except AmbiguousAmountError as error:
        meant = {way: _meant(text, habits, way) for way in MARKS if way in error.readings}
    except MalformedError as error:
        return Answer(fault=t("new_entry.no_currency") if _names_none(text, habits) else _sentence(error))
    way = marks or habits.marks
    decided = meant.get(way) if way is not None else None
    if decided is not None and marks is None:
        return _amount(decided)
    ways = [
        (f"{way} {text}", t("new_entry.marks", amount=filters.money(each), marks=way))
        for way, each in meant.items()
        if each
    ]
    if decided is not None and marks is not None:
        return replace(_amount(decided), choices=tuple(ways), habit=("marks", marks))
    fault = t("new_entry.one_way") if len(ways) == 1 else t("new_entry.two_ways")
    return Answer(fault=fault, choices=tuple(ways))


def date_read(text: str, habits: Habits, picked: str = "") -> Answer:
    """A date as people write it; where numbers leave a doubt, the person's own order, or the one that was chosen, decides."""
    order = next((each for each in DATE_ORDERS if picked == f"{each} {text}"), None)
    try:
        return _date_answer(read_when(text, today=habits.today))
    except AmbiguousDateError as error:
        meant = error.readings
    except MalformedError as error:
        return Answer(fault=_beyond_the_month(text, habits) or _sentence(error))
    decided = order or habits.date_order
    ways = tuple((f"{way} {text}", _day(When.parse(each))) for way, each in meant.items())
    if decided is None or decided not in meant:
        return Answer(fault=t("new_entry.two_ways"), choices=ways)
    answer = _date_answer(read_when(text, order=decided, today=habits.today))
    return answer if order is None else replace(answer, choices=ways, habit=("date_order", order))


def grade_read(text: str) -> str:
    """Which steps a grade as written means, in words; empty where it cannot be told."""
    steps = read_stated(text)
    if not steps:
        return ""
    if len(steps) == 1:
        return t("new_entry.one_step", step=steps[0], letters=steps[0].letters, words=steps[0].words)
    return t("new_entry.steps", first=steps[0], last=steps[-1])


def _ticked(leaf: Leaf, values: Sequence[str]) -> Answer:
    known = {each.value: each.plain for each in leaf.options}
    values = [value for value in values if value]
    if any(value not in known for value in values):
        return Answer(fault=t("new_entry.not_offered"))
    if not values:
        return Answer(fault=t("new_entry.tick_one")) if leaf.needed else Answer()
    return Answer(plain=[known[value] for value in dict.fromkeys(values)])


def _listed(leaf: Leaf, values: Sequence[str]) -> Answer:
    lines: list[Plain] = [line.strip() for line in "".join(values[:1]).split("\n") if line.strip()]
    if not lines:
        return Answer(fault=t("new_entry.needed")) if leaf.needed else Answer()
    return Answer(plain=lines)


def _filed(leaf: Leaf, values: Sequence[str]) -> Answer:  # noqa: ARG001 - files are no fields
    return Answer()


def _chosen(leaf: Leaf, values: Sequence[str]) -> Answer:
    value = values[0].strip() if values else "".join(leaf.default)
    found = next((each for each in leaf.options if each.value == value), None)
    if value == "" and (found is None or leaf.needed):
        return Answer(fault=t("new_entry.needed_choice")) if leaf.needed else Answer()
    if found is None:
        return Answer(fault=t("new_entry.not_offered"))
    return Answer() if value == "" else Answer(plain=found.plain)


def _spanned(leaf: Leaf, values: Sequence[str]) -> Answer:
    low, high = [*(each.strip() for each in values), "", ""][:2]
    if low == NO_STEP:
        return Answer(plain=[])
    if not low:
        return Answer(fault=t("new_entry.lowest_first")) if high else Answer()
    known = {each.value for each in leaf.options}
    if low not in known or (high and high not in known):
        return Answer(fault=t("new_entry.not_offered"))
    first, last = Grade(low).step, Grade(high or low).step
    if last < first:
        return Answer(fault=t("new_entry.highest_last"))
    return Answer(plain=[each.text for each in grades()[first : last + 1]])


def _line(leaf: Leaf, text: str) -> Answer:
    least, most, pattern = (leaf.limits.get(name) for name in ("min_length", "max_length", "pattern"))
    if most is not None and len(text) > most:
        return Answer(fault=t("new_entry.too_long", most=f"{most:,}", has=f"{len(text):,}"))
    if (least is not None and len(text) < least) or (pattern is not None and not re.search(pattern, text)):
        return Answer(fault=_spelling_mend(leaf, text))
    return Answer(plain=text, said=grade_read(text) if leaf.name.endswith(GRADE) else "")


def _spelling_mend(leaf: Leaf, text: str) -> str:
    """Says how it is spelt, with the nearest that would do."""
    near = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")
    pattern = leaf.limits.get("pattern", "")
    if near and pattern and re.search(pattern, near):
        return t("new_entry.spell_like", near=near)
    return t("new_entry.spell", note=leaf.note)


def _whole(leaf: Leaf, text: str) -> Answer:
    plain = re.sub(r"(?<=[0-9])[\s\u2009\u202f](?=[0-9]{3})", "", _without_unit(leaf, text))
    if not _WHOLE.fullmatch(plain):
        return Answer(fault=t("new_entry.whole"))
    number = int(plain)
    least, most = leaf.limits.get("ge"), leaf.limits.get("le")
    if least is not None and number < least:
        return Answer(fault=t("new_entry.at_least", least=least))
    if most is not None and number > most:
        return Answer(fault=t("new_entry.at_most", most=most))
    return Answer(plain=number)


def _decimal(leaf: Leaf, text: str) -> Answer:
    """A decimal as it was read off: with a point, or with a comma that cannot set thousands apart."""
    plain = _without_unit(leaf, text).replace("\N{MINUS SIGN}", "-")
    plain = plain.replace(",", ".") if _COMMA.fullmatch(plain) else plain
    pattern = leaf.limits.get("pattern", "")
    if not _POINT.fullmatch(plain) or not re.search(pattern, plain):
        return Answer(fault=t("new_entry.decimal", unit=leaf.unit))
    return Answer(plain=plain)


def _without_unit(leaf: Leaf, text: str) -> str:
    return text.removesuffix(leaf.unit).strip() if leaf.unit else text


_WRITTEN: Final[Mapping[Way, Callable[[Leaf, str], Answer]]] = {
    Way.LINE: _line,
    Way.GIVEN: _line,
    Way.AREA: _line,
    Way.WHOLE: _whole,
    Way.DECIMAL: _decimal,
}
_ANSWERED: Final[Mapping[Way, Callable[[Leaf, Sequence[str]], Answer]]] = {
    Way.TICKS: _ticked,
    Way.LIST: _listed,
    Way.PICK: _chosen,
    Way.CHOOSE: _chosen,
    Way.SPAN: _spanned,
    Way.FILE: _filed,
    Way.ONE_FILE: _filed,
}


def _stated(text: str, habits: Habits) -> str | None:
    """An amount that names no currency is in the person's own."""
    return None if _CODE.search(text) else habits.currency


def _names_none(text: str, habits: Habits) -> bool:
    """All that is missing is the currency, and the person has none of their own: a bare number."""
    return habits.currency is None and _BARE.fullmatch(text) is not None


def _meant(text: str, habits: Habits, marks: Marks) -> Money | None:
    try:
        return read_amount(text, currency=_stated(text, habits), reading=marks)
    except MalformedError:
        return None


def _amount(money: Money) -> Answer:
    plain: dict[str, Plain] = {"minor": money.minor, "currency": money.currency, "exponent": money.exponent}
    return Answer(plain=plain, said=filters.money(money))


def _date_answer(found: When) -> Answer:
    return Answer(plain=str(found), said=_day(found))


def _day(found: When) -> str:
    """The date in words, a day with the name it has in the week."""
    if found.precision != "day":
        return found.label()
    return t("new_entry.day", weekday=WEEKDAYS[found.earliest_day.weekday()], day=found.label())


WEEKDAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def _beyond_the_month(text: str, habits: Habits) -> str:
    """The mend for a day that its month does not have, such as 31 April; empty for any other text."""
    found = _LAST_DAYS.search(text)
    for day in range(int(found[1]) - 1, 27, -1) if found else ():
        assert found is not None
        nearest = text[: found.start()] + str(day) + text[found.end() :]
        read = date_read(nearest, replace(habits, date_order=habits.date_order or "dmy"))
        if not read.fault and isinstance(read.plain, str) and When(read.plain).precision == "day":
            _, month, year = When(read.plain).label().split(" ")
            return t("new_entry.days_of_month", month=month, year=year, days=day)
    return ""


def _sentence(error: MalformedError) -> str:
    problem = error.problem
    return f"{problem[:1].upper()}{problem[1:]}. {error.mend}"

"""The most to pay for a prospect, worked out from its outlook and from what each step would bring, as it is typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ledger.actor import Actor
from ledger.errors import MalformedError
from ledger.market import Prospect
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.rules.worth import Choice, Unvalued, Way
from ledger.rules.worth_assumed import Assumed
from ledger.rules.worth_gained import most_to_pay
from ledger.usecases.worth import assumptions
from web import filters
from web.form_values import Habits, amount_read
from web.wording import t

__all__ = ["Most", "MostField", "most_of"]

AT: Final = "brings."
SPENT: Final = ("carriage", "work", "grading", "margin")
"""What is paid beside the price, whatever the price is; and what is to be left."""
SALE: Final = "sale"
_THOUSAND: Final = 1000


@dataclass(frozen=True, kw_only=True)
class MostField:
    """One amount that is asked for."""

    name: str
    label: str
    value: str
    fault: str
    reading: str = ""
    """What sales say, which counts while nothing is typed."""


@dataclass(frozen=True, kw_only=True)
class Most:
    """The form with what was typed, and the answer in a sentence; empty while nothing was asked."""

    brings: tuple[MostField, ...]
    costs: tuple[MostField, ...]
    sale: MostField
    said: str
    assumed: str
    """By what harm is counted, and that it is an assumption."""


def most_of(  # noqa: PLR0913 - for whom, of what, by what
    ledger: Ledger,
    actor: Actor,
    of: Prospect,
    asked: Mapping[str, str],
    habits: Habits,
    sales: Mapping[Grade, Money],
) -> Most:
    """The most to pay, where its outlook is stated and every amount could be read; a step left empty is as sales say."""
    by = assumptions(ledger, actor)[Choice.WORK_THEN_GRADE]
    names = [f"{AT}{each.grade}" for each in sorted(of.weights, key=lambda weight: weight.grade)]
    read: dict[str, Money | None] = {}
    faults: dict[str, str] = {}
    for name in (*names, *SPENT):
        read[name], faults[name] = _amount(asked.get(name, ""), habits)
    sale, faults[SALE] = _share(asked.get(SALE, str(by.sale_keeps_per_mille)))

    by_sales = {
        name: sales[grade] for name in names if (grade := Grade(name[len(AT) :])) in sales and not asked.get(name)
    }
    read |= by_sales

    def field(name: str, label: str, value: str) -> MostField:
        said = t("prospects.by_sales", amount=filters.money(by_sales[name])) if name in by_sales else ""
        return MostField(name=name, label=label, value=value, fault=faults[name], reading=said)

    ready = any(read[each] is not None for each in names) and not any(faults.values())
    return Most(
        brings=tuple(field(name, t("prospects.brings", grade=name[len(AT) :]), asked.get(name, "")) for name in names),
        costs=tuple(field(name, t(f"prospects.costs.{name}"), asked.get(name, "")) for name in SPENT),
        sale=field(SALE, t("prospects.sale"), asked.get(SALE, str(by.sale_keeps_per_mille))),
        said=_said(of, read, sale or 0, by) if ready else "",
        assumed=t("prospects.assumed", risk=by.risk_per_mille, takes=by.harm_takes_per_mille),
    )


def _said(of: Prospect, read: Mapping[str, Money | None], sale: int, by: Assumed) -> str:
    values = {Grade(name[len(AT) :]): each for name, each in read.items() if name.startswith(AT) and each is not None}
    code = next(iter(values.values())).currency
    carriage, margin = read["carriage"] or Money.zero(code), read["margin"]
    way = Way(
        choice=Choice.WORK_THEN_GRADE,
        given_up=carriage,
        weights={each.grade: each.per_mille for each in of.weights},
        values=values,
        spent=tuple(each for name in ("work", "grading") if (each := read[name]) is not None),
        sale_keeps_per_mille=sale,
        risk_per_mille=by.risk_per_mille,
        harm_takes_per_mille=by.harm_takes_per_mille,
    )
    try:
        most = most_to_pay(way, margin=margin)
    except MalformedError as error:
        return str(error)
    if isinstance(most, Unvalued):
        return t("prospects.unvalued", steps=", ".join(map(str, most.steps)))
    if most.exact < 0:
        return t("prospects.nothing_to_pay")
    left = filters.money(margin) if margin is not None else t("prospects.nothing_left")
    return t("prospects.most", most=filters.money(most.money), left=left)


def _amount(text: str, habits: Habits) -> tuple[Money | None, str]:
    """An amount as people write it; an empty one is none."""
    if not text.strip():
        return None, ""
    answer = amount_read(text.strip(), habits)
    if answer.fault or not isinstance(answer.plain, dict):
        return None, answer.fault
    found = Money(**answer.plain)  # type: ignore[arg-type]
    return (found, "") if found.minor >= 0 else (None, t("prospects.below_zero"))


def _share(text: str) -> tuple[int | None, str]:
    plain = text.strip()
    if plain.isascii() and plain.isdecimal() and int(plain) <= _THOUSAND:
        return int(plain), ""
    return None, t("prospects.no_share")

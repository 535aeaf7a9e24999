"""What a fair value says, in words: each comparable with its weight or why it does not count, each grade with its price."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.events._parts import Holding, Issue
from ledger.market import KeptSale
from ledger.rules.fair_price import How, Value, bound_at, expected_under, value_at
from ledger.rules.fair_value import Adjustment, Fit
from ledger.rules.grades import Grade, grades
from ledger.sales import Aside, twins
from ledger.usecases.comparables import Valued
from web.filters import money, when
from web.value_subject import Subject
from web.wording import t

__all__ = ["GradeLine", "SaleLine", "grade_lines", "meant_words", "notes_of", "sale_lines", "sale_name"]

_HOLDING: Final = {Holding.RAW: "raw", Holding.SLABBED: "slabbed", Holding.NOT_STATED: "not_stated"}
_ASIDE: Final = {
    Aside.NO_DATE: "no_date",
    Aside.LATER: "later",
    Aside.NO_GRADE: "no_grade",
    Aside.NO_PRICE: "no_price",
    Aside.OTHER_CURRENCY: "other_currency",
}
_HOW: Final = {How.SALES: "sales", How.POOLED: "pooled", How.BETWEEN: "between"}


@dataclass(frozen=True, kw_only=True)
class SaleLine:
    """One comparable in the table."""

    id: str
    on: str
    grade: str
    price: str
    where: str
    holding: str
    tone: str
    counts: str
    """How much it weighs, or why it does not count."""
    double: str
    """What it likely repeats; empty for nothing."""
    aside: bool


@dataclass(frozen=True, kw_only=True)
class GradeLine:
    """One grade in the table of prices."""

    grade: str
    letters: str
    mid: str
    band: str
    rests: str
    now: bool


def sale_name(sale: KeptSale) -> str:
    """A comparable in a few words."""
    return t("value.sale_name", on=when(sale.on), grade=sale.grade or t("frame.not_known"), price=money(sale.price))


def sale_lines(valued: Valued, sort: str, *, down: bool) -> tuple[SaleLine, ...]:
    """All of them, by date or by grade; what is not known comes last."""
    sales = sorted(valued.sales, key=lambda each: each.id)
    told = [each for each in sales if (each.grade if sort == "grade" else each.on) is not None]
    rest = [each for each in sales if (each.grade if sort == "grade" else each.on) is None]
    told.sort(key=lambda each: _place(each, sort), reverse=down)
    weights = {sale: weight for sale, weight, _ in valued.fit.weights}
    names = {each.id: sale_name(each) for each in sales}
    doubles = {sale: names[of] for sale, of in twins(sales, ()).items()}
    return tuple(_line(each, valued, weights.get(each.id), doubles.get(each.id, "")) for each in (*told, *rest))


def grade_lines(fit: Fit, now: Grade | None) -> tuple[GradeLine, ...]:
    """Every grade that has a price, the best first."""
    found = [(grade, value_at(fit, grade)) for grade in reversed(grades())]
    return tuple(
        GradeLine(
            grade=grade.text,
            letters=grade.letters,
            mid=money(value.mid),
            band=t("value.band", low=money(value.low), high=money(value.high)),
            rests=_rests(value, grade),
            now=grade == now,
        )
        for grade, value in found
        if value is not None
    )


def notes_of(valued: Valued, subject: Subject) -> tuple[str, ...]:
    """How the price came about: what counts, how, what was allowed for, and what is not known."""
    return tuple(_notes(valued, subject))


def _notes(valued: Valued, subject: Subject) -> Iterator[str]:
    fit, terms = valued.fit, valued.fit.terms
    yield t.n("value.counts", fit.count, day=_day(valued))
    aside = [each for each in valued.counted.aside.values() if each is not Aside.LEFT_OUT]
    if aside:
        yield t.n("value.aside", len(aside))
    if valued.counted.converted:
        yield t.n("value.converted", len(valued.counted.converted), currency=fit.currency)
    if not fit.enough:
        return
    yield t("value.method", days=terms.half_life_days)
    yield t("value.band_method", percent=terms.band_percent, spread=terms.spread_percent, weight=terms.spread_weight)
    for each in fit.adjustments:
        yield from _adjusted(each, valued)
    yield from _beyond(fit)
    if subject.outlook:
        yield from _expected(fit, subject)


def _adjusted(each: Adjustment, valued: Valued) -> Iterator[str]:
    """What was found, or that there is too little; nothing where it was not asked."""
    holder = each.of == "holder"
    asked = _holding(valued.asked.holding) if holder else valued.asked.tone
    if holder and valued.asked.holding is Holding.NOT_STATED:
        yield t("value.holder_open")
    elif not asked:
        yield t("value.tone_open")
    elif each.percent is None:
        kind = "holder" if holder else "tone"
        yield t(f"value.few.{kind}", like=each.like, unlike=each.unlike, needed=each.needed, asked=asked)
    else:
        kind = "holder" if holder else "tone"
        percent = f"{each.percent:+d}".replace("-", "\N{MINUS SIGN}")
        yield t(f"value.adjusted.{kind}", percent=percent, prices=each.unlike, asked=asked)


def _beyond(fit: Fit) -> Iterator[str]:
    above, below = bound_at(fit, grades()[-1]), bound_at(fit, grades()[0])
    if above is not None:
        yield t("value.above", grade=above.grade, amount=money(above.at_least))
    if below is not None:
        yield t("value.below", grade=below.grade, amount=money(below.at_most))


def _expected(fit: Fit, subject: Subject) -> Iterator[str]:
    found = expected_under(fit, subject.outlook or {})
    if found is None:
        return
    low, middle, high = (money(found.quantiles[each]) for each in (10, 50, 90))
    if not found.at_least:
        said = t("value.expected", amount=money(found.mid))
    else:
        said = t("value.expected_at_least", amount=money(found.mid), share=f"{float(found.beyond) * 100:.0f}")
    yield f"{said} {t('value.expected_spread', low=low, middle=middle, high=high)}"


def _line(sale: KeptSale, valued: Valued, weight: float | None, double: str) -> SaleLine:
    why = valued.counted.aside.get(sale.id)
    if why is Aside.LEFT_OUT:
        counts = t("value.left_out", reason=sale.left_out)
    elif why is not None:
        counts = t(f"value.why_not.{_ASIDE[why]}")
    elif weight is None:
        counts = t("value.would_count")
    else:
        counts = t("value.weighs", percent=f"{weight * 100:.0f}")
    return SaleLine(
        id=sale.id,
        on=when(sale.on),
        grade=sale.grade.text if sale.grade else t("frame.not_known"),
        price=money(sale.price),
        where=sale.where,
        holding=_holding(sale.holding),
        tone=sale.tone,
        counts=counts,
        double=t("value.repeats_kept", sale=double) if double else "",
        aside=why is not None,
    )


def _rests(value: Value, grade: Grade) -> str:
    """Which sales a price rests on, its neighbours named."""
    names = _listed([each.text for each in value.grades if value.how is not How.POOLED or each != grade])
    return t.n(f"value.rests.{_HOW[value.how]}", len(value.sales), grades=names)


def _listed(names: Sequence[str]) -> str:
    return t("value.listed", first=", ".join(names[:-1]), last=names[-1]) if len(names) > 1 else "".join(names)


def _holding(holding: Holding) -> str:
    return t(f"value.holding.{_HOLDING[holding]}")


def _place(sale: KeptSale, sort: str) -> tuple[object, ...]:
    if sort == "grade":
        return (sale.grade.step if sale.grade else 0, sale.id)
    return (sale.on.earliest_day if sale.on else None, sale.id)


def _day(valued: Valued) -> str:
    return when(valued.asked.on.isoformat())


def meant_words(issues: Sequence[Issue]) -> str:
    """That sales are kept of issues which may be the one meant; empty for none."""
    if not issues:
        return ""
    return t.n("value.meant", len(issues), issues="; ".join(map(_told_apart, issues)))


def _told_apart(issue: Issue) -> str:
    parts = [t("value.meant_series", year=issue.start_year)] if issue.start_year else [t("value.meant_bare")]
    if (issue.printing or 1) > 1:
        parts.append(t("value.meant_printing", printing=issue.printing))
    if issue.variant:
        parts.append(t("value.meant_variant", variant=issue.variant))
    return ", ".join(parts)

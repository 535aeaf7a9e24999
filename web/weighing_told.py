"""What a book's choices come to, line by line, and what easing each of its defects further is worth."""

from dataclasses import dataclass
from fractions import Fraction

from ledger.events.outlook import Origin
from ledger.money import Money
from ledger.rules.worth import Choice, Unvalued, Weighed
from ledger.usecases.weighing import EasedDefect, Weighing
from web import filters
from web.dose_words import band_words
from web.outlook_lines import fault_words
from web.wording import t
from web.worth_drawing import Spread, Spreads, spreads_of
from web.worth_words import eased_words, even_words, of_hundred, unvalued_words

__all__ = ["ChoiceLine", "EasedLine", "WeighedTold", "weighed_told"]


@dataclass(frozen=True, kw_only=True)
class ChoiceLine:
    """One choice; where it is not weighed, `why_not` says why, and the figures are empty."""

    title: str
    rests: str
    cost: str = ""
    net: str = ""
    between: str = ""
    loss: str = ""
    days: str = ""
    heat: str = ""
    even: str = ""
    spread: Spread | None = None
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class EasedLine:
    """One defect, and what easing it further is worth."""

    number: int
    words: str
    said: str


@dataclass(frozen=True, kw_only=True)
class WeighedTold:
    """All of it in words."""

    lines: tuple[ChoiceLine, ...]
    scale: Spreads
    least: str
    most: str
    weights: str
    """Whose weights count, in a sentence."""
    shown: tuple[tuple[str, str], ...]
    """The weights: a step, and how likely it is, of a hundred."""
    stands: str
    """What the book is worth as it is, or that nobody knows."""
    heat_so_far: str
    eased: tuple[EasedLine, ...]


def weighed_told(found: Weighing) -> WeighedTold:
    """The choices in the order in which they ask more of the book."""
    weighed = [each for choice in Choice if isinstance(each := found.of(choice), Weighed)]
    scale = spreads_of(weighed)
    bars = dict(zip((each.choice for each in weighed), scale.of, strict=True))
    total = sum(Fraction(each) for each in found.weights.values())
    return WeighedTold(
        lines=tuple(_line(found, choice, bars.get(choice)) for choice in Choice),
        scale=scale,
        least=_money(found, scale.least),
        most=_money(found, scale.most),
        weights=_weights(found),
        shown=tuple((str(each), of_hundred(Fraction(found.weights[each]) / total)) for each in sorted(found.weights)),
        stands=_stands(found),
        heat_so_far=_heat_so_far(found),
        eased=tuple(_eased(found, each) for each in found.eased),
    )


def _line(found: Weighing, choice: Choice, spread: Spread | None) -> ChoiceLine:
    title, of = found.assumed[choice].title, found.of(choice)
    rests = _rests(found, choice)
    if of is None:
        return ChoiceLine(title=title, rests=rests, why_not=_why_not(found, choice))
    if isinstance(of, Unvalued):
        return ChoiceLine(title=title, rests=rests, why_not=unvalued_words(of))
    return ChoiceLine(
        title=title,
        rests=rests,
        cost=_money(found, of.cost),
        net=_money(found, of.net),
        between=t("worth.between", low=_money(found, of.low), high=_money(found, of.high)),
        loss=of_hundred(of.loss),
        days=str(of.days) if of.days is not None else "",
        heat=_heat(found, of),
        even="" if choice is Choice.LEAVE else even_words(of),
        spread=spread,
    )


def _why_not(found: Weighing, choice: Choice) -> str:
    if found.given_up.value is None:
        return t("worth.no_start")
    if choice is Choice.ONE_MORE_SESSION and found.weights:
        return t("worth.no_after")
    return t("worth.no_weights")


def _rests(found: Weighing, choice: Choice) -> str:
    match choice:
        case Choice.LEAVE:
            return t("worth.rests.leave")
        case Choice.SELL_RAW:
            return t("worth.rests.raw_lies") if found.view.computed is not None else t("worth.rests.raw_stated")
        case Choice.WORK_THEN_GRADE:
            return t("worth.rests.own") if found.origin is Origin.OWN else t("worth.rests.computed")
        case Choice.ONE_MORE_SESSION:
            return t("worth.rests.after_told") if found.session_told else t("worth.rests.after_assumed")


def _heat(found: Weighing, of: Weighed) -> str:
    """What the heat comes to: none, as of the last session, or not known."""
    if of.heat is not None:
        return band_words(of.heat)
    hot = of.choice is Choice.ONE_MORE_SESSION or (of.choice is Choice.WORK_THEN_GRADE and not found.view.work_over)
    return t("frame.not_known") if hot else t("worth.no_heat")


def _heat_so_far(found: Weighing) -> str:
    heat = found.worth.heat if found.worth is not None else None
    if heat is None:
        return ""
    if not heat.sessions:
        return t("worth.never_heated")
    if heat.untold == heat.sessions:
        return t("worth.heat_not_told")
    return t("worth.heat_so_far", band=band_words(heat.band))


def _weights(found: Weighing) -> str:
    if found.origin is None:
        return t("worth.weights.none")
    return t("worth.weights.own") if found.origin is Origin.OWN else t("worth.weights.computed")


def _stands(found: Weighing) -> str:
    up = found.given_up
    if up.value is None:
        return t("worth.stands.not_known")
    if up.typed:
        return t("worth.stands.typed", amount=filters.money(up.value))
    return t("worth.stands.sales", amount=filters.money(up.value), grade=up.grade or "")


def _eased(found: Weighing, each: EasedDefect) -> EasedLine:
    if isinstance(each.gain, Unvalued):
        said = unvalued_words(each.gain)
    else:
        exponent = Money.zero(found.currency).exponent
        said = eased_words(t("worth.this_defect"), each.gain, found.currency, exponent)
    return EasedLine(number=each.number, words=fault_words(each.fault), said=said)


def _money(found: Weighing, exact: Fraction) -> str:
    return filters.money(Money(round(exact), found.currency, Money.zero(found.currency).exponent))

"""What weighing a choice comes to, in sentences; rounded here and nowhere before."""

from fractions import Fraction

from ledger.money import Money
from ledger.rules.worth import Unvalued, Weighed
from ledger.rules.worth_gained import Gain
from web import filters
from web.wording import t

__all__ = ["eased_words", "even_words", "of_hundred", "unvalued_words"]


def of_hundred(chance: Fraction) -> str:
    """So many of a hundred, to one decimal, halves to the even one."""
    tenths = round(chance * 1000)
    sign = "\N{MINUS SIGN}" if tenths < 0 else ""
    whole, tenth = divmod(abs(tenths), 10)
    return f"{sign}{whole}" + (f".{tenth}" if tenth else "")


def eased_words(defect: str, gain: Gain, currency: str, exponent: int) -> str:
    """What easing one defect further is worth; `defect` as it stands in a sentence, such as "this crease"."""
    what = t("worth.easing", defect=defect)
    amount = Money(round(abs(gain.value)), currency, exponent)
    chance = of_hundred(gain.chance)
    if amount.minor == 0 and chance == "0":
        return t("worth.eased_nothing", what=what, grade=gain.at_least)
    if gain.value < 0:
        return t("worth.eased_takes", what=what, amount=filters.money(amount), chance=chance, grade=gain.at_least)
    return t("worth.eased", what=what, amount=filters.money(amount), chance=chance, grade=gain.at_least)


def even_words(of: Weighed) -> str:
    """Which grade is needed, how likely it is held, and how likely it would have to be."""
    even = of.break_even
    if even is None:
        return t("worth.even_none")
    return t("worth.even", grade=even.needed, held=of_hundred(even.held), enough=of_hundred(even.chance))


def unvalued_words(of: Unvalued) -> str:
    """Which steps have no value."""
    return t("worth.unvalued", steps=", ".join(map(str, of.steps)))

"""What the defects of a prospect say, drawn beside the collector's own outlook; and what it would be worth now, in words."""

from dataclasses import dataclass
from fractions import Fraction

from ledger.events.outlook import WHOLE
from ledger.market import Prospect
from ledger.usecases.prospect_outlook import ProspectOutlook, ProspectValues
from web import filters
from web.outlook_drawing import OutlookDrawing, outlook_drawing
from web.outlook_lines import ReadLine, fault_words, read_line, shares_of
from web.wording import t
from web.worth_words import of_hundred

__all__ = ["ComputedTold", "computed_told", "now_told"]


@dataclass(frozen=True, kw_only=True)
class ComputedTold:
    """The ceiling, what holds it, and both outlooks as a drawing."""

    ceiling: str
    held: tuple[str, ...]
    unread: tuple[str, ...]
    drawing: OutlookDrawing
    reads: tuple[ReadLine, ...]


def computed_told(of: Prospect, found: ProspectOutlook | None) -> ComputedTold | None:
    """The computed outlook after one round of work; None where nothing is computed."""
    if found is None:
        return None
    own = {each.grade: Fraction(each.per_mille, WHOLE) for each in of.weights}
    held, after = found.computed.held, found.computed.grades_after
    return ComputedTold(
        ceiling=str(held.grade),
        held=tuple(fault_words(each) for each in found.faults if each.id in held.by),
        unread=tuple(f"{fault_words(fault)}: {error.mend}" for fault, error in held.unread),
        drawing=outlook_drawing(own, shares_of(after), ceiling=held.grade, whole=False),
        reads=(read_line(t("outlook.side.computed"), after),),
    )


def now_told(found: ProspectValues) -> str:
    """What it would be worth today: by its outlook, else at its stated grade."""
    if found.expected is not None and found.expected.at_least:
        share = of_hundred(found.expected.beyond)
        return t("prospects.now_least", amount=filters.money(found.expected.mid), share=share)
    if found.expected is not None:
        low, high = (filters.money(found.expected.quantiles[each]) for each in (10, 90))
        return t("prospects.now_outlook", amount=filters.money(found.expected.mid), low=low, high=high)
    if found.stated is not None:
        amounts = (filters.money(each) for each in (found.stated.mid, found.stated.low, found.stated.high))
        return t("prospects.now_stated", **dict(zip(("amount", "low", "high"), amounts, strict=True)))
    return t("prospects.now_none")

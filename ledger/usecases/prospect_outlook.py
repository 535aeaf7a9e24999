"""What the defects seen of a prospect say, and what its sales do: the ceiling, the computed outlook, its worth today."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ledger.actor import Actor, Permission
from ledger.events._parts import Holding
from ledger.graded import services
from ledger.learned import eased, learned_chances
from ledger.market import Prospect
from ledger.money import Money
from ledger.outlooks import Computed, computed, faults_of
from ledger.ports import Ledger
from ledger.rules.book_ceiling import Fault
from ledger.rules.chances import Chances
from ledger.rules.fair_price import Expected, Value, expected_under, value_at
from ledger.rules.grades import Grade
from ledger.usecases.outlook import KernelUsed, kernel_used
from ledger.usecases.own_results import own_results
from ledger.usecases.rulings import in_force, rulings_in
from ledger.usecases.weighing_values import Fits, issue_fits, known_values

__all__ = ["ProspectOutlook", "ProspectValues", "prospect_outlook", "prospect_values"]


@dataclass(frozen=True, kw_only=True)
class ProspectOutlook:
    """What the defects say, as far as they were seen; what was not seen may lower it."""

    faults: tuple[Fault, ...]
    chances: Mapping[str, Chances]
    kernel: KernelUsed
    computed: Computed


@dataclass(frozen=True, kw_only=True)
class ProspectValues:
    """What sales of its issue say today."""

    currency: str
    graded: Mapping[Grade, Money]
    """Of each step that sales of slabbed copies tell; the others are left out."""
    expected: Expected | None
    """By the collector's own outlook; None without one, or where sales are too few."""
    stated: Value | None
    """At the stated grade, in the holder it is in; None where no sale tells it."""


def prospect_outlook(ledger: Ledger, actor: Actor, of: Prospect) -> ProspectOutlook | None:
    """The ceiling and the computed outlook, by this collection's tables and this collector's own results.

    None where no defect is written down: then nothing was looked at, and nothing is computed.
    """
    actor.require(Permission.READ)
    faults = faults_of(of.defects)
    if not faults:
        return None
    with ledger.log.read() as reader:
        rules = in_force(rulings_in(ledger, reader))
        own = own_results(ledger, reader, rules.ceilings)
    chances = learned_chances(faults, eased(own.came, rules.chances), rules.chances)
    kernel = kernel_used(rules, services(own.graded), None)
    return ProspectOutlook(
        faults=faults,
        chances=chances,
        kernel=kernel,
        computed=computed(faults, chances, kernel.kernel, rules.ceilings),
    )


def prospect_values(ledger: Ledger, actor: Actor, of: Prospect, currency: str | None, day: date) -> ProspectValues:
    """What each step brings by its sales, what its outlook comes to, and what it is worth as it is stated."""
    fits = issue_fits(ledger, actor, of.issue, "", currency, day)
    weights = {each.grade: each.per_mille for each in of.weights}
    return ProspectValues(
        currency=fits.currency,
        graded=known_values({}, fits.graded),
        expected=expected_under(fits.graded, weights) if fits.graded is not None and weights else None,
        stated=_stated(of, fits),
    )


def _stated(of: Prospect, fits: Fits) -> Value | None:
    steps = of.stated.steps if of.stated is not None else ()
    fit = fits.graded if of.holding is Holding.SLABBED else fits.raw
    return value_at(fit, min(steps)) if steps and fit is not None else None

"""The forecasts of the demo: enough of them to be scored, of every standing, near what the defects allow, costs to the cent."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator

import pytest

from ledger.bootstrap import OWNER
from ledger.entry import Entry
from ledger.events import Event
from ledger.events.outlook import Origin, OutlookStage
from ledger.events.purchase import Purchase
from ledger.events.sale import Means, Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Stage, Submission
from ledger.events.valuation import Purpose, Valuation
from ledger.forecast import Stands
from ledger.graded import Graded
from ledger.money import Money
from ledger.ports import Ledger
from ledger.usecases.forecasts import Forecasts, forecasts
from ledger.usecases.outlook import OutlookView, outlook_of
from seeds.story import dollar_lot, evening_sale, kettle_lot
from seeds.story._batch import Batch

FEWEST = 24
NEAR = 3
"""Steps between a grade and the ceiling of the last look; our assumption of what is believable."""
LAST_DAY = "2026-11-21"


@pytest.fixture(scope="module")
def found(told: Ledger) -> Forecasts:
    return forecasts(told, OWNER)


@pytest.fixture(scope="module")
def entries(told: Ledger) -> list[Entry]:
    with told.log.read() as reader:
        return [reader.entry(row.seq) for row in reader.stored(1, reader.head().size)]


@pytest.fixture(scope="module")
def views(told: Ledger) -> dict[str, OutlookView]:
    with told.log.read() as reader:
        books = [head.book for head in reader.book_heads()]
    return {book: outlook_of(told, OWNER, book) for book in books}


def graded(views: dict[str, OutlookView]) -> Iterator[Graded]:
    for view in views.values():
        yield from view.results


def total(parts: Iterable[Money | None]) -> Money:
    first, *rest = [part for part in parts if part is not None]
    return sum(rest, first)


def test_enough_own_outlooks_have_a_result_over_at_least_four_batches_and_two_services(found: Forecasts) -> None:
    assert len(found.scored) >= FEWEST
    assert len({line.attempt.batch for line in found.scored}) >= 4
    assert len({line.attempt.service for line in found.scored}) == 2
    assert found.pit, "so many results that the calibration can be drawn"
    assert all(
        line.forecast.recorded < line.attempt.outcome_recorded for line in found.scored if line.attempt.outcome_recorded
    )


def test_results_lie_above_below_and_on_what_was_held_likeliest(found: Forecasts) -> None:
    misses = Counter(
        (line.attempt.result > best) - (line.attempt.result < best)
        for line in found.scored
        if line.attempt.result is not None
        for best in [max(line.forecast.outlook.weights, key=lambda each: each.per_mille).grade]
    )
    assert min(misses[1], misses[0], misses[-1]) >= 5


def test_every_way_in_which_an_outlook_can_stand_is_in_the_story(found: Forecasts) -> None:
    assert len(found.late) == 1
    assert len(found.taken_back) == 1
    assert len(found.unfinished) >= 5
    assert {line.attempt.came for line in found.no_result} == {Outcome.NO_GRADE, Outcome.DAMAGED}
    assert {line.forecast.outlook.stage for line in found.earlier} == {
        OutlookStage.AT_PURCHASE,
        OutlookStage.RAW,
        OutlookStage.AFTER_WORK,
    }
    assert all(line.forecast.stands is Stands.EARLIER for line in found.earlier)


def test_computed_outlooks_stand_beside_own_ones_of_the_same_way(found: Forecasts) -> None:
    own = {(line.book, line.attempt.sent) for line in found.scored}
    beside = [line for line in found.computed if (line.book, line.attempt.sent) in own]
    assert len(beside) >= 8
    assert all(line.forecast.outlook.origin is Origin.COMPUTED for line in beside)


def test_every_grade_lies_near_the_ceiling_of_the_last_look(views: dict[str, OutlookView]) -> None:
    steps = [each.steps for each in graded(views) if each.steps is not None]
    assert len(steps) >= FEWEST
    assert max(abs(each) for each in steps) <= NEAR
    assert {each > 0 for each in steps} == {True, False}


def test_the_ceiling_that_an_outlook_names_is_that_of_the_look_before_it(
    found: Forecasts, views: dict[str, OutlookView]
) -> None:
    ceilings = {(each.book, each.sent): each.ceiling for each in graded(views)}
    told = [
        (line.forecast.outlook.ceiling, ceiling)
        for line in (*found.scored, *found.computed)
        if line.forecast.outlook.ceiling is not None and (ceiling := ceilings[line.book, line.attempt.sent]) is not None
    ]
    assert len(told) >= FEWEST
    assert [pair for pair in told if pair[0] != pair[1]] == []


@pytest.mark.parametrize("batch", [dollar_lot.BATCH, kettle_lot.BATCH, evening_sale.BATCH], ids=lambda batch: batch.id)
def test_postage_and_invoice_of_a_batch_are_shared_to_the_cent(batch: Batch, entries: list[Entry]) -> None:
    sent = [
        each.event
        for each in entries
        if isinstance(each.event, Submission) and each.event.stage is Stage.SENT and each.event.batch == batch.id
    ]
    back = [each.event for each in entries if isinstance(each.event, Slab) and each.event.batch == batch.id]
    assert len(sent) == len(back) == len(batch.copies)
    assert total(each.postage.value for each in sent) == Money.of(batch.postage, "EUR")
    assert total(each.invoice.value for each in back) == Money.of(batch.invoice, "EUR")


def test_lots_were_bought_together_in_euro_and_in_dollars(entries: list[Entry]) -> None:
    lots = defaultdict(list)
    for each in entries:
        if isinstance(each.event, Purchase) and each.event.price.value is not None:
            lots[each.act].append(each.event.price.value)
    sums = {total(prices) for prices in lots.values() if len(prices) >= 5}
    assert sums >= {Money.of("700.00", "USD"), Money.of("840.00", "USD"), Money.of("395.00", "EUR")}


def test_one_copy_was_sold_for_more_than_it_cost_and_one_for_less_one_traded_and_one_stolen(
    entries: list[Entry],
) -> None:
    chains = defaultdict(list)
    for each in entries:
        chains[each.book].append(each.event)
    left = {name: _left(chains.values(), name) for name in Means}
    wheel = next(chain for chain in left[Means.SOLD] if _issue(chain) == ("Umbrella for Two", "38"))
    idol = next(chain for chain in left[Means.SOLD] if _issue(chain) == ("Jungle Meridian", "6"))
    # By hand: 25/700 of 903.50 dollars is 32.27, less than 33 euro at any rate of those years; the rest is in euro.
    assert _euro_spent(wheel) + Money.of("33.00", "EUR") < _got(wheel)
    assert _got(idol) < _euro_spent(idol)
    assert left[Means.TRADE]
    assert left[Means.STOLEN]


def _left(chains: Iterable[list[Event]], means: Means) -> list[list[Event]]:
    return [chain for chain in chains if any(isinstance(each, Sale) and each.means is means for each in chain)]


def _issue(chain: list[Event]) -> tuple[str, str]:
    bought = next(each for each in chain if isinstance(each, Purchase))
    return bought.issue.title, bought.issue.number


def _euro_spent(chain: list[Event]) -> Money:
    bought = [
        value
        for each in chain
        if isinstance(each, Purchase)
        for value in (each.price.value, each.tax.value)
        if value is not None and value.currency == "EUR"
    ]
    ways = [each.postage.value for each in chain if isinstance(each, Submission)]
    invoices = [each.invoice.value for each in chain if isinstance(each, Slab)]
    return total([*bought, *ways, *invoices])


def _got(chain: list[Event]) -> Money:
    (sale,) = [each for each in chain if isinstance(each, Sale)]
    assert sale.price.value is not None
    assert sale.fees.value is not None
    return sale.price.value - sale.fees.value


def test_values_are_for_the_market_and_for_insurance_and_one_for_insurance_is_out_of_date(entries: list[Entry]) -> None:
    last: dict[tuple[str | None, Purpose], Valuation] = {}
    for each in entries:
        if isinstance(each.event, Valuation):
            last[each.book, each.event.purpose] = each.event
    assert Counter(purpose for _, purpose in last)[Purpose.MARKET] >= 4
    ends = [each.valid_until for each in last.values() if each.purpose is Purpose.INSURANCE and each.valid_until]
    over = [each for each in ends if each.text[:7] <= LAST_DAY[:7]]
    assert len(ends) > len(over) >= 1

"""The demo's market: many invented sales in two currencies beside a ledger that is no longer by one entry for it."""

import random
from pathlib import Path

from ledger.bootstrap import OWNER
from ledger.events._parts import Issue
from ledger.rules.fair_price import value_at
from ledger.rules.grades import grades
from ledger.sales import Aside, Asked
from ledger.settings import Settings
from ledger.usecases.checkpoint import current
from ledger.usecases.comparables import fair_value
from seeds.demo import open_demo
from seeds.market import ISSUES, LAST, SALES_EACH, sales_of
from tests.seeds.test_story import ENTRIES, ROOT


def test_the_demo_has_two_hundred_comparables_in_two_currencies_and_the_ledger_is_as_it_was(tmp_path: Path) -> None:
    with open_demo(Settings(folder=str(tmp_path / "demo"))) as demo:
        assert demo.ledger.market is not None
        with demo.ledger.market.read() as reader:
            sales, rates = reader.sales(), reader.rates()
        with demo.ledger.log.read() as reading:
            head = current(reading)
        assert (head.size, head.root.hex()) == (ENTRIES, ROOT)
        issues = {str(each.issue): each.issue for each in sales}
        found = [fair_value(demo.ledger, OWNER, each, Asked(on=LAST, currency="EUR")) for each in issues.values()]
    assert len(sales) == ISSUES * SALES_EACH >= 200
    assert len({each.id for each in sales}) == len(sales)
    assert {each.price.currency for each in sales} == {"EUR", "USD"}
    assert rates
    for each in found:
        values = [value.mid for grade in grades() if (value := value_at(each.fit, grade)) is not None]
        assert len(values) > 5
        assert values == sorted(values)
        assert each.counted.converted
        assert {Aside.LEFT_OUT, Aside.OTHER_CURRENCY} <= set(each.counted.aside.values())


def test_the_market_is_the_same_in_every_demo_and_none_of_it_lies_ahead() -> None:
    issue = Issue(title="Harbor Lamp", number="14")
    first, second = (sales_of(issue, 15, random.Random("a")) for _ in range(2))
    assert first == second
    assert all(each.on is not None and each.on.earliest_day <= LAST for each in first.sales)

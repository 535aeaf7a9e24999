"""What the market told is kept as it was written, on each engine, apart for each collection."""

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from sqlalchemy import insert

from ledger.events._parts import Defect, Face, Holding, Issue, StatedGrade
from ledger.events.outlook import Weight
from ledger.market import KeptSale, MarketStore, MarketWriter, Prospect, Rate, issue_key
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.store.engine import Store
from ledger.store.market import SqlMarket
from ledger.store.market_tables import COMPARABLE, PROSPECT
from ledger.when import When
from tests.conftest import COLLECTION
from tests.fake_market import FakeMarket
from tests.store.homes import OTHER

MADE = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
LAMP = Issue(title="Harbor Lamp", number="14", start_year=1952)
SALE = KeptSale(
    id="s1",
    issue=LAMP,
    on=When("2025-11"),
    grade=Grade("7.5"),
    price=Money.of("120.00", "EUR"),
    where="an auction",
    holding=Holding.SLABBED,
    tone="ivory",
    made=MADE,
)
LOOKED_AT = Prospect(
    id="p1",
    issue=LAMP,
    asking=Money.of("90.00", "USD"),
    holding=Holding.RAW,
    stated=StatedGrade(as_written="VG", steps=(Grade("4.0"),)),
    seller="a shop",
    defects=(Defect(id="d1", type="bend", face=Face.FRONT),),
    pictures=("ab" * 32,),
    weights=(Weight(grade=Grade("6.0"), per_mille=1000),),
    weighed=MADE,
    made=MADE,
)
PAID = Rate(
    of="USD", into="EUR", on=When("2026-02-27"), rate=Decimal("0.91745"), source="central bank, that day", made=MADE
)


def fill(writer: MarketWriter) -> None:
    writer.put_sale(SALE)
    writer.put_prospect(LOOKED_AT)
    writer.put_rate(PAID)


@pytest.fixture(params=["fake", "sql"])
def market(request: pytest.FixtureRequest, engine: Store) -> MarketStore:
    return FakeMarket() if request.param == "fake" else SqlMarket(COLLECTION, engine)


def test_what_was_kept_is_read_as_it_was(market: MarketStore) -> None:
    market.write(fill)
    with market.read() as reader:
        assert reader.sales() == [SALE]
        assert reader.sale("s1") == SALE
        assert reader.prospects() == [LOOKED_AT]
        assert reader.prospect("p1") == LOOKED_AT
        assert reader.rates() == [PAID]


def test_sales_of_one_issue_are_read_alone_however_its_title_was_written(market: MarketStore) -> None:
    other = replace(SALE, id="s2", issue=replace(LAMP, number="15"))
    shouted = replace(SALE, id="s3", issue=replace(LAMP, title="HARBOR  lamp"))

    def keep(writer: MarketWriter) -> None:
        for sale in (SALE, other, shouted):
            writer.put_sale(sale)

    market.write(keep)
    with market.read() as reader:
        assert [each.id for each in reader.sales(issue_key(LAMP))] == ["s1", "s3"]


def test_what_is_taken_out_is_gone_and_what_is_put_again_takes_its_place(market: MarketStore) -> None:
    market.write(fill)
    market.write(lambda writer: writer.put_sale(replace(SALE, price=Money.of("130.00", "EUR"))))
    with market.read() as reader:
        assert [each.price.amount for each in reader.sales()] == ["130.00"]

    def empty(writer: MarketWriter) -> None:
        writer.take_sale("s1")
        writer.take_prospect("p1")
        writer.take_rate(PAID.id)

    market.write(empty)
    with market.read() as reader:
        assert (reader.sales(), reader.prospects(), reader.rates()) == ([], [], [])


def test_a_work_that_fails_keeps_nothing(market: MarketStore) -> None:
    def fails(writer: MarketWriter) -> None:
        fill(writer)
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        market.write(fails)
    with market.read() as reader:
        assert reader.sales() == []


def test_each_collection_reads_its_own(engine: Store) -> None:
    SqlMarket(OTHER, engine).write(fill)
    with SqlMarket(COLLECTION, engine).read() as reader:
        assert reader.sales() == []
        assert reader.rates() == []


def test_a_row_that_was_harmed_is_left_out_and_the_others_are_read(engine: Store) -> None:
    market = SqlMarket(COLLECTION, engine)
    market.write(fill)
    row = {"collection_id": COLLECTION, "id": "s0", "made": "2026-01-01T00:00:00.000000Z"}
    harmed = insert(COMPARABLE).values(**row, issue=issue_key(LAMP), data="{")
    engine.write(COLLECTION, lambda connection: connection.execute(harmed))
    bare = insert(PROSPECT).values(**row, data='{"id": "p0"}')
    engine.write(COLLECTION, lambda connection: connection.execute(bare))
    with market.read() as reader:
        assert reader.sales() == [SALE]
        assert reader.prospects() == [LOOKED_AT]
        assert reader.sale("s0") is None


def test_one_issue_has_one_key_and_another_printing_is_another_issue() -> None:
    assert issue_key(LAMP) == issue_key(Issue(title=" harbor LAMP", number="14", start_year=1952, printing=1))
    assert issue_key(LAMP) != issue_key(Issue(title="Harbor Lamp", number="14", start_year=1952, printing=2))
    assert issue_key(LAMP) != issue_key(Issue(title="Harbor Lamp", number="14"))

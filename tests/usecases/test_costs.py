"""Costs and insurance over a ledger: the home currency, rates kept by hand, one year, the schedule, a loss."""

from dataclasses import replace
from decimal import Decimal

import pytest

from ledger.actor import Actor, Permission
from ledger.costs import NoGain
from ledger.errors import ForbiddenError, InvalidError, NotFoundError
from ledger.events._parts import Face
from ledger.events.count import Count, Result
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.erasure import Erasure
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.events.sale import Disclosed, Means, Sale
from ledger.events.submission import Ask, Submission
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.money import Money
from ledger.rules.exchange import NoRate
from ledger.sealed import Sealed
from ledger.usecases.costs import costs_of, home_of, totals_of, year_of
from ledger.usecases.insurance import Short, loss_report, schedule
from ledger.usecases.rates import RateSaid, keep_rates, look_at_rates, pasted_rates, take_rate
from tests.builders import on
from tests.usecases.telling import OWNER, Teller

SAID = RateSaid(of="usd", into="EUR", on="1 March 2024", rate="0.92", source="a bank")
BENCH = Actor(id="owner", scopes=frozenset({Permission.READ, Permission.BENCH}))


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


def sealed(amount: str, code: str = "EUR") -> Sealed[Money]:
    return Sealed.of(Money.of(amount, code))


def worth(amount: str, when: str, purpose: Purpose = Purpose.MARKET, code: str = "EUR") -> Valuation:
    return Valuation(on=on(when), purpose=purpose, method=Method.OWN_JUDGEMENT, amount=sealed(amount, code))


def lost(means: Means = Means.STOLEN, when: str = "2025-05-05") -> Sale:
    return Sale(on=on(when), means=means, disclosed=Disclosed.NOT_APPLICABLE, compensation=sealed("80.00"))


def test_the_home_currency_is_the_one_asked_for_or_the_one_most_sums_are_in(teller: Teller) -> None:
    assert home_of(teller.ledger, OWNER) is None
    teller.buy(price=sealed("1.00", "USD"), tax=sealed("1.00", "USD"))
    teller.buy(price=sealed("1.00"))
    found = home_of(teller.ledger, OWNER)
    assert found is not None
    assert (found.code, found.chosen) == ("USD", False)
    asked = home_of(teller.ledger, OWNER, "eur")
    assert asked is not None
    assert (asked.code, asked.chosen) == ("EUR", True)
    with pytest.raises(InvalidError) as refused:
        home_of(teller.ledger, OWNER, "EURO")
    assert refused.value.problems[0].field == "currency"


def test_a_rate_is_kept_read_and_taken_away(teller: Teller) -> None:
    (kept,) = keep_rates(teller.ledger, OWNER, [SAID])
    assert (kept.id, kept.rate, kept.source) == ("USD/EUR/2024-03-01", Decimal("0.92"), "a bank")
    keep_rates(teller.ledger, OWNER, [replace(SAID, rate="0.93")])
    assert [each.rate for each in look_at_rates(teller.ledger, OWNER)] == [Decimal("0.93")]
    take_rate(teller.ledger, OWNER, "USD", "EUR", "2024-03-01")
    assert look_at_rates(teller.ledger, OWNER) == ()
    with pytest.raises(NotFoundError):
        take_rate(teller.ledger, OWNER, "USD", "EUR", "2024-03-01")


def test_the_bench_keeps_no_rates(teller: Teller) -> None:
    with pytest.raises(ForbiddenError):
        keep_rates(teller.ledger, BENCH, [SAID])


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"of": "XYZ"}, "of"),
        ({"into": "XAU"}, "into"),
        ({"into": "USD"}, "into"),
        ({"on": "the other day"}, "on"),
        ({"on": "between 1998 and 1999"}, "on"),
        ({"on": "1990s"}, "on"),
        ({"rate": "0"}, "rate"),
        ({"rate": "-1"}, "rate"),
        ({"rate": "1e5"}, "rate"),
        ({"rate": "1.2.3"}, "rate"),
        ({"rate": "NaN"}, "rate"),
        ({"source": " "}, "source"),
        ({"source": "x" * 201}, "source"),
    ],
)
def test_a_rate_that_cannot_be_one_is_named(teller: Teller, changes: dict[str, str], field: str) -> None:
    with pytest.raises(InvalidError) as refused:
        keep_rates(teller.ledger, OWNER, [replace(SAID, **changes)])
    assert [each.field for each in refused.value.problems] == [field]
    assert look_at_rates(teller.ledger, OWNER) == ()


def test_a_pasted_table_is_kept_whole_or_not_at_all(teller: Teller) -> None:
    text = "currency;home;day;rate;source\nUSD;EUR;2024-03-01;0,92;a bank\nUSD;EUR;2024-03-02;0.925;a bank\n"
    assert len(keep_rates(teller.ledger, OWNER, pasted_rates(text))) == 2
    bad = pasted_rates("GBP\tEUR\t2024-03-01\t1.17\ta bank\nGBP\tEUR\tsoon\t1.17\ta bank")
    with pytest.raises(InvalidError) as refused:
        keep_rates(teller.ledger, OWNER, bad)
    assert [each.sentence[:7] for each in refused.value.problems] == ["Line 2:"]
    assert len(look_at_rates(teller.ledger, OWNER)) == 2


@pytest.mark.parametrize("text", ["", "USD EUR 2024", "a;b;c;1;e;f"])
def test_a_table_with_other_columns_is_refused(text: str) -> None:
    with pytest.raises(InvalidError):
        pasted_rates(text)


def test_a_book_in_two_currencies_is_counted_once_its_rate_is_kept(teller: Teller) -> None:
    book = teller.buy(on=on("2024-03-01"), price=sealed("100.00", "USD"), shipping=sealed("5.00"))
    teller.add(book, worth("150.00", "2024-12-01"))
    (before,) = costs_of(teller.ledger, OWNER, book, "EUR").periods
    assert (before.no_gain, before.missing) == (NoGain.NO_RATE, (NoRate("USD", "EUR", "2024-03-01"),))
    keep_rates(teller.ledger, OWNER, [SAID])
    (after,) = costs_of(teller.ledger, OWNER, book, "EUR").periods
    assert (after.basis, after.gain) == (eur("97.00"), eur("53.00"))
    assert after.rate is not None
    found = totals_of(teller.ledger, OWNER, "EUR")
    assert (found.basis_held, found.value_held, found.unrealised, found.without_rate) == (9700, 15000, 5300, ())


def test_an_erased_price_is_a_gap_everywhere(teller: Teller) -> None:
    book = teller.buy(price=sealed("100.00"))
    teller.add(book, worth("150.00", "2024-12-01"))
    assert totals_of(teller.ledger, OWNER, "EUR").unrealised == 5000
    with teller.ledger.log.read() as reader:
        bought = reader.of_book(book)[0].seq
    teller.add(book, Erasure(entry=bought, names=("price",)))
    found = totals_of(teller.ledger, OWNER, "EUR")
    assert (found.basis_held, found.unrealised) == (0, 0)
    assert ("price", "erased", 1) in [(each.what, each.why, each.number) for each in found.not_counted]
    assert costs_of(teller.ledger, OWNER, book, "EUR").periods[0].no_gain is NoGain.NOT_KNOWN


def test_a_year_has_its_lines_and_the_whole_basis_of_what_was_sold(teller: Teller) -> None:
    book = teller.buy(on=on("2023-02-01"), price=sealed("100.00"))
    teller.buy(on=on("2024-02-01"), price=sealed("30.00"))
    teller.add(book, Sale(on=on("2024-05-01"), disclosed=Disclosed.WORK, price=sealed("140.00"), fees=sealed("6.00")))
    found = year_of(teller.ledger, OWNER, 2024, "EUR")
    assert [(str(each.day), each.part.value, each.amount) for each in found.lines] == [
        ("2024-02-01", "price", eur("30.00")),
        ("2024-05-01", "sale price", eur("140.00")),
        ("2024-05-01", "sale fees", eur("-6.00")),
    ]
    (sold,) = found.sold
    assert (sold.proceeds, sold.basis, sold.gain) == (eur("134.00"), eur("100.00"), eur("34.00"))
    of_year = next(each for each in totals_of(teller.ledger, OWNER, "EUR").years if each.year == 2024)
    assert (of_year.purchases, of_year.fees, of_year.sales, of_year.gain) == (3000, 600, 14000, 3400)


def test_the_schedule_names_what_is_insured_for_too_little(teller: Teller) -> None:
    none = teller.buy(price=sealed("1.00"))
    fine, low, out, old = (teller.buy(price=sealed("10.00")) for _ in range(4))
    for book in (fine, low, out):
        teller.add(book, worth("100.00", "2024-06-01", Purpose.INSURANCE))
    teller.add(low, worth("160.00", "2024-12-01"))
    away = Custody(on=on("2025-01-01"), direction=Direction.OUT, to_whom=Hands.FRAMER, insured_for=sealed("40.00"))
    teller.add(out, away)
    dated = replace(worth("50.00", "2024-06-01", Purpose.INSURANCE), valid_until=on("2024-12-31"))
    teller.add(old, dated)
    # A sum of a time that is over says nothing of now: this one came back.
    was_away = Custody(on=on("2024-08-01"), direction=Direction.OUT, to_whom=Hands.FAMILY, insured_for=sealed("1.00"))
    teller.add(fine, was_away)
    teller.add(fine, Custody(on=on("2024-09-01"), direction=Direction.BACK))
    teller.add(fine, Submission(on=on("2025-01-01"), batch="b1", asks=Ask.GRADE))
    found = schedule(teller.ledger, OWNER, "EUR")
    assert {each.row.book: each.short for each in found.books} == {
        none: (Short.NONE,),
        fine: (),
        low: (Short.MARKET,),
        out: (Short.OUT,),
        old: (Short.OLD,),
    }
    assert (found.total, found.not_counted) == (eur("350.00"), 0)
    assert [each.missing for each in found.books if each.missing] == [eur("60.00")]


def test_a_value_that_no_rate_counts_is_not_added(teller: Teller) -> None:
    book = teller.buy(price=sealed("1.00"))
    teller.add(book, worth("100.00", "2024-06-01", Purpose.INSURANCE, "USD"))
    found = schedule(teller.ledger, OWNER, "EUR")
    assert (found.total, found.not_counted) == (eur("0.00"), 1)


def test_books_that_left_are_not_in_the_schedule(teller: Teller) -> None:
    book = teller.buy(price=sealed("1.00"))
    teller.add(book, lost())
    assert schedule(teller.ledger, OWNER, "EUR").books == ()


def test_a_loss_report_tells_the_value_just_before_the_loss(teller: Teller) -> None:
    book = teller.buy(price=sealed("60.00"))
    teller.add(book, Examination(on=on("2024-03-01")))
    teller.add(book, Photograph(on=on("2024-03-02"), original="a" * 64, clean="b" * 64, face=Face.FRONT))
    teller.add(book, worth("90.00", "2024-06-01"))
    teller.add(book, worth("95.00", "2024-07-01", Purpose.INSURANCE))
    teller.add(book, lost())
    found = loss_report(teller.ledger, OWNER, book)
    assert found.loss is not None
    assert found.loss.market is not None
    assert found.loss.insurance is not None
    assert (found.loss.market.amount, found.loss.insurance.amount) == (eur("90.00"), eur("95.00"))
    assert found.loss.paid == eur("80.00")
    assert [each.event.clean for each in found.of.photographs] == ["b" * 64]
    assert found.of.last is not None


def test_damage_that_a_count_found_is_a_loss_too_and_a_find_is_none(teller: Teller) -> None:
    book = teller.buy(price=sealed("60.00"))
    teller.add(book, Count(on=on("2024-05-01"), result=Result.FOUND))
    assert loss_report(teller.ledger, OWNER, book).loss is None
    seq = teller.add(book, Count(on=on("2024-06-01"), result=Result.DAMAGED)).seq
    teller.add(book, worth("20.00", "2024-07-01"))
    found = loss_report(teller.ledger, OWNER, book)
    assert found.loss is not None
    assert (found.loss.seq, found.loss.market) == (seq, None)
    assert found.market is not None

"""Batches: sent in one act with exact shares, told of, brought back together, each forecast beside its result."""

from typing import Any

import pytest

from ledger.batches import Batch
from ledger.errors import InvalidError, NotFoundError, RuleError
from ledger.events.correction import Correction
from ledger.events.outlook import Origin, Outlook, OutlookStage, Weight
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.events.withdrawal import Withdrawal
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.usecases import batches as work
from ledger.usecases.batches import BookResult, BookSent, ResultsSaid, SendSaid
from ledger.usecases.look import look_at
from ledger.usecases.record import Request
from tests.builders import on, usd
from tests.usecases.forecast_books import back_then
from tests.usecases.telling import OWNER, Teller


def three(teller: Teller) -> list[str]:
    return [teller.buy() for _ in range(3)]


def sending(books: list[str] | tuple[BookSent, ...], **changes: Any) -> SendSaid:
    rows = tuple(each if isinstance(each, BookSent) else BookSent(book=each) for each in books)
    plain = {"batch": "spring", "books": rows, "on": on("2025-04-01")}
    return SendSaid(**{**plain, "service": "Third Bench", **changes})


def sent(teller: Teller, books: list[str] | tuple[BookSent, ...], **changes: Any) -> Batch:
    work.send(teller.ledger, OWNER, sending(books, **changes))
    return one(teller)


def one(teller: Teller, name: str = "spring") -> Batch:
    return work.look_at_batch(teller.ledger, OWNER, name)


def foresee(teller: Teller, book: str, when: str = "2025-03-01", **weights: int) -> int:
    told = tuple(Weight(grade=Grade(name[1:].replace("_", ".")), per_mille=each) for name, each in weights.items())
    with back_then(teller.ledger.clock, when):
        return teller.add(book, Outlook(on=on(when), weights=told, stage=OutlookStage.BEFORE_SENDING)).seq


def graded(book: str, step: str = "8.0", **changes: Any) -> BookResult:
    return BookResult(
        **{"book": book, "as_written": step, "step": Grade(step), "holder_number": f"N-{book}", **changes}
    )


def minor(values: list[Money | None]) -> list[int | None]:
    return [None if each is None else each.minor for each in values]


def test_books_go_out_in_one_act_and_share_what_it_costs_exactly(teller: Teller) -> None:
    """By hand, largest remainder: 100.00 in three is 33.34, 33.33, 33.33; 10.00 by 1 to 1 to 1 likewise 3.34 first."""
    batch = sent(teller, three(teller), fee=usd("100.00"), postage=usd("10.00"), asks=Ask.REVIEW, speed="20 days")
    told = [each.submission for each in batch.books]
    assert minor([each.fee.value for each in told]) == [3334, 3333, 3333]
    assert minor([each.postage.value for each in told]) == [334, 333, 333]
    assert {(each.asks, each.speed, each.service.value) for each in told} == {(Ask.REVIEW, "20 days", "Third Bench")}
    assert len({each.sent.entry.act for each in batch.books}) == 1
    assert (batch.is_open, batch.stage, batch.sent_on) == (True, Stage.SENT, on("2025-04-01"))


def test_stated_shares_split_what_it_costs(teller: Teller) -> None:
    """By hand: 100.00 by 3, 2, 0 is 60.00, 40.00, 0.00."""
    books = three(teller)
    shares = tuple(BookSent(book=each, share=share) for each, share in zip(books, (3, 2, 0), strict=True))
    batch = sent(teller, shares, fee=usd("100.00"))
    assert minor([each.submission.fee.value for each in batch.books]) == [6000, 4000, 0]


def test_what_is_wrong_with_a_batch_is_told_at_its_field(teller: Teller) -> None:
    first, second, _ = three(teller)
    books = (BookSent(book=first, share=1), BookSent(book=first), BookSent(book=second, share=-1))
    with pytest.raises(InvalidError) as caught:
        work.send(teller.ledger, OWNER, sending(books))
    assert [each.field for each in caught.value.problems] == ["books.1.book", "books.1.share", "books.2.share"]
    with pytest.raises(InvalidError, match="1 to 100"):
        work.send(teller.ledger, OWNER, sending([]))
    sent(teller, [first])
    with pytest.raises(InvalidError, match="There is a batch spring already"):
        work.send(teller.ledger, OWNER, sending([second]))


def test_a_book_that_cannot_be_sent_is_named_and_none_goes_out(teller: Teller) -> None:
    first, second, _ = three(teller)
    sent(teller, [first])
    before = teller.kept()
    with pytest.raises(RuleError) as caught:
        work.send(teller.ledger, OWNER, sending([second, first], batch="summer"))
    assert [each.field.partition(".batch")[0] for each in caught.value.problems] == ["books.1"]
    with pytest.raises(RuleError) as caught:
        work.send(teller.ledger, OWNER, sending([first], batch="summer"))
    assert caught.value.problems[0].field == "books.0.batch"
    assert teller.kept() == before


def test_the_same_request_sends_once(teller: Teller) -> None:
    books, asked = three(teller), Request(key="send", body=b"send")
    first = work.send(teller.ledger, OWNER, sending(books), asked)
    again = work.send(teller.ledger, OWNER, sending(books), asked)
    assert (again.replayed, again.entries) == (True, first.entries)
    news = Request(key="news", body=b"news")
    told = work.move_on(teller.ledger, OWNER, "spring", Stage.RECEIVED, on("2025-04-05"), news)
    assert work.move_on(teller.ledger, OWNER, "spring", Stage.RECEIVED, on("2025-04-05"), news).entries == told.entries


def test_news_moves_on_those_that_are_not_so_far(teller: Teller) -> None:
    books = three(teller)
    sent(teller, books)
    teller.add(books[0], Submission(on=on("2025-04-04"), stage=Stage.RECEIVED, batch="spring"))
    recorded = work.move_on(teller.ledger, OWNER, "spring", Stage.RECEIVED, on("2025-04-05"))
    assert [entry.book for entry in recorded.entries] == books[1:]
    assert one(teller).stage is Stage.RECEIVED
    work.move_on(teller.ledger, OWNER, "spring", Stage.SHIPPED_BACK, on("2025-05-05"))
    assert one(teller).stage is Stage.SHIPPED_BACK
    for stage in (Stage.RECEIVED, Stage.SENT):
        with pytest.raises(InvalidError):
            work.move_on(teller.ledger, OWNER, "spring", stage)


def test_results_are_written_together_beside_their_forecasts(teller: Teller) -> None:
    """By hand: half of 200, 400, 400 thousandths is reached at 7.5, and 8.0 is one step above it; 7.0 one below."""
    books = three(teller)
    for book in books[:2]:
        foresee(teller, book, g7_0=200, g7_5=400, g8_0=400)
    sent(teller, books)
    said = ResultsSaid(
        results=(graded(books[0], "8.0", page_tone="cream"), graded(books[1], "7.0"), graded(books[2], "9.2")),
        on=on("2025-06-01"),
        came_back=on("2025-06-05"),
        invoice=usd("90.01"),
    )
    work.write_results(teller.ledger, OWNER, "spring", said)
    batch = one(teller)
    assert [each.surprise for each in batch.books] == [1, -1, None]
    assert [each.grade for each in batch.books] == [Grade("8.0"), Grade("7.0"), Grade("9.2")]
    assert (batch.is_open, batch.stage) == (False, None)
    slabs = [each.slab for each in batch.books]
    assert minor([each.invoice.value for each in slabs if each]) == [3001, 3000, 3000]
    first = slabs[0]
    assert isinstance(first, Slab)
    assert (first.page_tone, first.service.value) == ("cream", "Third Bench")
    back = look_at(teller.ledger, OWNER, books[0]).book
    assert (back.holder_number, back.here, str(back.stated)) == (f"N-{books[0]}", True, "8.0")


def test_some_may_come_back_before_the_others_and_with_another_outcome(teller: Teller) -> None:
    books = three(teller)
    sent(teller, books)
    lost = BookResult(book=books[1], outcome=Outcome.LOST)
    some = ResultsSaid(results=(graded(books[0]), lost), on=on("2025-06-01"), came_back=on("2025-06-05"))
    work.write_results(teller.ledger, OWNER, "spring", some)
    batch = one(teller)
    assert [each.book for each in batch.under_way] == [books[2]]
    assert [each.slab.outcome if each.slab else None for each in batch.books] == [
        Outcome.GRADE_GIVEN,
        Outcome.LOST,
        None,
    ]
    assert batch.books[1].surprise is None


def test_what_is_wrong_with_a_result_is_told_at_its_row(teller: Teller) -> None:
    books = three(teller)
    sent(teller, books[:2])
    rows = (BookResult(book=books[0], as_written="8.0"), BookResult(book=books[1]), graded(books[2]))
    with pytest.raises(InvalidError) as caught:
        work.write_results(teller.ledger, OWNER, "spring", ResultsSaid(results=rows))
    assert [each.field for each in caught.value.problems] == [
        "results.0.step",
        "results.1.as_written",
        "results.2.book",
    ]
    before = teller.kept()
    early = ResultsSaid(results=(graded(books[0]), graded(books[1])), on=on("2024-12-01"))
    with pytest.raises(RuleError) as rule:
        work.write_results(teller.ledger, OWNER, "spring", early)
    assert {each.field.rpartition(".")[0] for each in rule.value.problems} == {"results.0"}
    assert teller.kept() == before
    with pytest.raises(NotFoundError):
        work.write_results(teller.ledger, OWNER, "autumn", early)


def test_the_last_own_outlook_before_the_sending_is_the_forecast(teller: Teller) -> None:
    book = teller.buy()
    foresee(teller, book, "2025-02-01", g7_0=1000)
    last = foresee(teller, book, "2025-03-01", g8_0=1000)
    weights = (Weight(grade=Grade("9.0"), per_mille=1000),)
    with back_then(teller.ledger.clock, "2025-03-03"):
        teller.add(book, Outlook(on=on("2025-03-02"), weights=weights, origin=Origin.COMPUTED))
        teller.add(book, Outlook(on=on("2025-03-03"), weights=weights, for_batch="autumn"))
    sent(teller, [book])
    foresee(teller, book, "2025-03-04", g9_2=1000)
    forecast = one(teller).books[0].forecast
    assert forecast is not None
    assert (forecast.seq, forecast.likeliest, forecast.origin) == (last, Grade("8.0"), "own")
    assert forecast.at_least(Grade("8.0")) == 1
    assert forecast.at_least(Grade("8.5")) == 0
    teller.add(book, Withdrawal(entry=last, reason=Sealed.of("Typed wrong.")))
    assert one(teller).books[0].forecast is None


def test_an_outlook_written_when_the_day_of_the_sending_was_over_is_no_forecast(teller: Teller) -> None:
    book, other = teller.buy(), teller.buy()
    weights = (Weight(grade=Grade("9.0"), per_mille=1000),)
    teller.add(book, Outlook(on=on("2025-03-02"), weights=weights))
    foresee(teller, other, "2025-03-01", g8_0=1000)
    sent(teller, [book, other])
    assert [each.forecast is None for each in one(teller).books] == [True, False]


def test_what_was_put_right_after_the_sending_changes_no_forecast(teller: Teller) -> None:
    book = teller.buy()
    seq = foresee(teller, book, "2025-03-01", g8_0=1000)
    with back_then(teller.ledger.clock, "2025-04-01"):
        sent(teller, [book])
    changes = {"weights": [{"grade": "9.0", "per_mille": 1000}]}
    teller.add(book, Correction(entry=seq, changes=changes, reason=Sealed.of("Seen anew.")))
    forecast = one(teller).books[0].forecast
    assert forecast is not None
    assert (forecast.seq, forecast.likeliest) == (seq, Grade("8.0"))


def test_a_computed_outlook_is_the_forecast_where_no_own_one_was_stated(teller: Teller) -> None:
    book = teller.buy()
    weights = (Weight(grade=Grade("9.0"), per_mille=1000),)
    with back_then(teller.ledger.clock, "2025-03-03"):
        teller.add(book, Outlook(on=on("2025-03-02"), weights=weights, origin=Origin.COMPUTED))
    sent(teller, [book])
    forecast = one(teller).books[0].forecast
    assert forecast is not None
    assert (forecast.origin, forecast.likeliest) == ("computed", Grade("9.0"))


def test_a_book_that_left_meanwhile_is_not_under_way(teller: Teller) -> None:
    book, other = teller.buy(), teller.buy()
    sent(teller, [book, other])
    teller.add(book, Sale(on=on("2025-05-01"), disclosed=Disclosed.NOTHING))
    assert [each.book for each in one(teller).under_way] == [other]


def test_batches_stand_with_the_newest_first_and_a_book_may_be_in_two(teller: Teller) -> None:
    book, other = teller.buy(), teller.buy()
    sent(teller, [book])
    work.write_results(
        teller.ledger,
        OWNER,
        "spring",
        ResultsSaid(results=(graded(book),), on=on("2025-05-01"), came_back=on("2025-05-02")),
    )
    work.send(teller.ledger, OWNER, sending([book, other], batch="summer", on=on("2025-07-01")))
    assert [(each.id, len(each.books)) for each in work.look_at_batches(teller.ledger, OWNER)] == [
        ("summer", 2),
        ("spring", 1),
    ]
    with pytest.raises(NotFoundError):
        one(teller, "winter")

"""What forecasts are worth: which count, which do not, totals worked by hand, locks, and what waits for more results."""

from collections.abc import Iterator
from fractions import Fraction

import pytest

from ledger.actor import Actor, Permission
from ledger.bootstrap import open_ledger
from ledger.errors import ForbiddenError
from ledger.events.outlook import Origin, OutlookStage
from ledger.events.slab import Outcome, Slab
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.proof.cosigning import cosign, line_text, read_shown
from ledger.rules.grades import Grade
from ledger.rules.recalibration import RESULTS_NEEDED
from ledger.rules.scoring import PIT_FROM
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.forecasts import Forecasts, forecasts
from ledger.usecases.stamps import cosignature_wanted, kept_stamps, stamp_wanted, take
from tests.builders import a_purchase
from tests.check import check_ledger
from tests.fakes import FakeClock
from tests.stamping import NAME, Authority
from tests.usecases.cosigned import TIME, WITNESS
from tests.usecases.forecast_books import BENCH, Sent, a_batch, an_outlook, at_noon, graded_on, sent_on, written
from tests.usecases.telling import OWNER, Teller

COUNTS = (
    *("scored", "computed", "earlier", "unfinished", "no_result", "late"),
    *("after_sending", "taken_back", "sending_not_known"),
)


@pytest.fixture
def ledger(teller: Teller) -> Ledger:
    return teller.ledger


@pytest.fixture
def keyed(settings: Settings, clock: FakeClock) -> Iterator[Ledger]:
    """A ledger that can be signed, at the time of the test's clock."""
    with open_ledger(settings, clock=clock) as opened:
        yield opened
        check_ledger(opened)


def counts(found: Forecasts) -> dict[str, int]:
    """How many there are of each that there is one of."""
    return {name: len(getattr(found, name)) for name in COUNTS if getattr(found, name)}


def cosigned(ledger: Ledger, at: int) -> None:
    """A neighbour cosigns the newest checkpoint at that moment."""
    shown = read_shown(cosignature_wanted(ledger, OWNER, 0).data)
    line = line_text(cosign(shown, [ledger.signer.verifier], None, WITNESS, at))
    take(ledger, OWNER, line.encode(), key=WITNESS.verifier.vkey)


def test_without_outlooks_there_is_nothing(ledger: Ledger) -> None:
    found = forecasts(ledger, OWNER)
    assert counts(found) == {}
    assert (found.in_all, found.computed_in_all, found.by_service, found.by_stage, found.pit) == (
        None,
        None,
        (),
        (),
        (),
    )
    with pytest.raises(ForbiddenError):
        forecasts(ledger, Actor(id="signer", scopes=frozenset({Permission.SIGN})))


def test_totals_of_two_results_worked_by_hand(ledger: Ledger, clock: FakeClock) -> None:
    # 8.5, 9.0, 9.2, 9.4 follow each other. The first met its middle: F is 1/4, 3/4 below and at 9.2, so (1/4)^2 +
    # (1/4)^2 = 1/8. The second is one step above it: (1/4)^2 + (3/4)^2 = 5/8. The grade stays: 2 and 3 steps off.
    a_batch(ledger, clock, 2026, [Sent(), Sent(result="9.4", service="Oak Room")])
    found = forecasts(ledger, OWNER)
    assert counts(found) == {"scored": 2}
    first, second = found.scored
    assert [line.surprise for line in (first, second)] == [0, 1]
    assert [line.scores.rps for line in (first, second) if line.scores] == [Fraction(1, 8), Fraction(5, 8)]
    assert [line.stays.rps for line in (first, second) if line.stays] == [2, 3]
    worth = found.in_all
    assert worth is not None
    assert (worth.count, worth.few, worth.rps, worth.rps_normalised) == (2, True, Fraction(3, 8), Fraction(1, 64))
    assert (worth.stays.count, worth.stays.skill) == (2, 1 - Fraction(3, 4) / 5)
    assert (worth.bias.median, worth.bias.mean, worth.bias.met) == (Fraction(1, 2), Fraction(1, 2), 1)
    at_92 = next(each for each in worth.at_least if each.grade == Grade("9.2"))
    assert (at_92.chance, at_92.came_true, at_92.brier, at_92.naive) == (
        Fraction(3, 4),
        2,
        Fraction(1, 16),
        Fraction(1),
    )
    assert [(each.key, each.count) for each in found.by_service] == [("Oak Room", 1), (BENCH, 1)]


def test_the_average_gain_is_that_of_results_written_down_before_the_outlook(ledger: Ledger, clock: FakeClock) -> None:
    a_batch(ledger, clock, 2025, [Sent(), Sent(result="9.4")])  # gains of 2 and 3 steps
    a_batch(ledger, clock, 2026, [Sent(result="9.4")])
    first, second, third = forecasts(ledger, OWNER).scored
    assert [(line.gains, line.gains_from) for line in (first, second)] == [(None, 0), (None, 0)]
    assert third.gains is not None
    assert third.gains_from == 2
    # Half on 9.2 and half on 9.4, where it came to: (1/2)^2.
    assert third.gains.rps == Fraction(1, 4)


def test_a_book_without_a_grade_before_has_no_naive_forecast(ledger: Ledger, clock: FakeClock) -> None:
    a_batch(ledger, clock, 2026, [Sent(before="")])
    found = forecasts(ledger, OWNER)
    assert (found.scored[0].stays, found.scored[0].gains) == (None, None)
    assert found.in_all is not None
    assert (found.in_all.stays.count, found.in_all.stays.skill, found.in_all.gains.own) == (0, None, None)


def test_what_does_not_count_is_counted_apart(ledger: Ledger, clock: FakeClock) -> None:
    kept, late, back, lost, out = a_batch(
        ledger, clock, 2026, [Sent(), Sent(), Sent(), Sent(result=""), Sent(result="")]
    )
    waiting = written(ledger, (None, a_purchase("2026-01-09")))[0]
    with ledger.log.read() as reader:
        seq = reader.of_book(back)[1].seq
    written(
        ledger,
        (late, an_outlook("9.2 1000", "2026-02-11", for_batch="b-2026")),
        (back, Withdrawal(entry=seq, reason=Sealed.of("meant for another"))),
        (lost, Slab(on=None, batch="b-2026", outcome=Outcome.LOST)),
        (out, an_outlook("9.8 1000", "2026-04-01")),
        (waiting, an_outlook("9.0 1000", "2026-05-02", origin=Origin.COMPUTED)),
    )
    found = forecasts(ledger, OWNER)
    assert counts(found) == {
        "scored": 2, "unfinished": 2, "no_result": 1, "late": 1, "after_sending": 1, "taken_back": 1,
    }  # fmt: skip
    assert [line.book for line in found.scored] == [kept, late]
    assert {line.book for line in found.unfinished} == {out, waiting}
    assert [line.book for line in (*found.late, *found.taken_back, *found.no_result)] == [late, back, lost]
    assert [line.scores for line in found.unfinished] == [None, None]


def test_earlier_ones_are_told_by_stage_and_are_in_no_other_total(ledger: Ledger, clock: FakeClock) -> None:
    at_noon(clock, "2026-01-10")
    (book,) = written(ledger, (None, a_purchase("2026-01-09")))
    for weights, stage in (("8.0 1000", "at purchase"), ("8.5 1000", "at purchase"), ("9.2 1000", "before sending")):
        written(ledger, (book, an_outlook(weights, "2026-01-10", stage=OutlookStage(stage))))
    written(ledger, (book, an_outlook("9.0 1000", "2026-01-10", origin=Origin.COMPUTED)))
    written(ledger, (book, sent_on("2026-01-10", "b-1")))
    written(ledger, (book, graded_on("2026-03-01", "b-1", "9.2")))
    found = forecasts(ledger, OWNER)
    assert counts(found) == {"scored": 1, "computed": 1, "earlier": 2}
    assert [(each.key, each.count, each.rps) for each in found.by_stage] == [
        ("at purchase", 1, Fraction(2)),
        ("before sending", 1, Fraction(0)),
    ]
    assert found.in_all is not None
    assert found.computed_in_all is not None
    assert [found.in_all.rps, found.computed_in_all.rps] == [0, 1]


@pytest.mark.long
def test_too_few_results_offer_nothing_and_enough_do(ledger: Ledger, clock: FakeClock) -> None:
    a_batch(ledger, clock, 2024, [Sent(result="9.4")] * (RESULTS_NEEDED - 1))
    waiting = [Sent(result="", changes=(("origin", origin),)) for origin in Origin]
    a_batch(ledger, clock, 2025, waiting)
    assert [line.recalibrated for line in forecasts(ledger, OWNER).unfinished] == [None, None]
    a_batch(ledger, clock, 2026, [Sent(result="9.4")])
    own, computed = forecasts(ledger, OWNER).unfinished
    # Strength 20 on 9.0, 9.2, 9.4 as 5, 10, 5, and twenty results one step above the middle: 5, 10, 25 of 40.
    assert own.recalibrated == ((Grade("9.0"), 125), (Grade("9.2"), 250), (Grade("9.4"), 625))
    assert computed.recalibrated is None


@pytest.mark.long
def test_the_pit_waits_for_thirty_results(ledger: Ledger, clock: FakeClock) -> None:
    a_batch(ledger, clock, 2025, [Sent()] * (PIT_FROM - 1))
    assert forecasts(ledger, OWNER).pit == ()
    a_batch(ledger, clock, 2026, [Sent()])
    found = forecasts(ledger, OWNER)
    # Each lies evenly between 1/4 and 3/4, so half of the third tenth's bar has none, as has half of the eighth's.
    assert found.pit == tuple(Fraction(each, 10) for each in (0, 0, 1, 2, 2, 2, 2, 1, 0, 0))
    assert found.in_all is not None
    assert not found.in_all.few


def a_forecast(ledger: Ledger, clock: FakeClock) -> str:
    at_noon(clock, "2025-12-20")
    (book,) = written(ledger, (None, a_purchase("2025-12-20")))
    written(ledger, (book, an_outlook("9.2 1000", "2025-12-20")))
    return book


def then_graded(ledger: Ledger, clock: FakeClock, book: str, day: str | None) -> None:
    written(ledger, (book, sent_on("2025-12-20", "b-1")))
    at_noon(clock, "2026-02-01")
    written(ledger, (book, graded_on(day, "b-1", "9.2")))


@pytest.mark.parametrize(
    ("day", "locked"),
    [("2026-01-20", True), ("2026-01-02", True), ("2026-01-01", False), ("2025-12-28", False), (None, False)],
)
def test_locked_is_said_where_somebody_outside_saw_it_before_the_return(
    keyed: Ledger, clock: FakeClock, *, day: str | None, locked: bool
) -> None:
    # The neighbour cosigned on 1 January 2026 at 0:00 UTC; where a bare day was is not known, so it is taken widely.
    book = a_forecast(keyed, clock)
    sign_checkpoint(keyed, OWNER)
    cosigned(keyed, TIME - (0 if day != "2026-01-02" else 86400))
    then_graded(keyed, clock, book, day)
    (line,) = forecasts(keyed, OWNER).scored
    assert (line.lock is not None) is locked
    if line.lock is not None:
        assert (line.lock.known, line.lock.by.startswith("a-neighbour")) == (True, True)


def test_a_checkpoint_that_does_not_cover_it_locks_nothing(keyed: Ledger, clock: FakeClock) -> None:
    sign_checkpoint(keyed, OWNER)
    cosigned(keyed, TIME)
    book = a_forecast(keyed, clock)
    then_graded(keyed, clock, book, "2026-01-20")
    assert forecasts(keyed, OWNER).scored[0].lock is None
    sign_checkpoint(keyed, OWNER)
    assert forecasts(keyed, OWNER).scored[0].lock is None, "the ledger's own signature is no word from outside"


def test_a_time_stamp_from_before_the_return_locks_and_says_that_nobody_named_its_authority(
    keyed: Ledger, clock: FakeClock, tmp_path_factory: pytest.TempPathFactory
) -> None:
    authority = Authority.at(tmp_path_factory.mktemp("authority") / "lantern")
    a_forecast(keyed, clock)
    sign_checkpoint(keyed, OWNER)
    wanted = stamp_wanted(keyed, OWNER)
    take(keyed, OWNER, authority.answer(wanted.data), request=wanted.data)
    (line,) = forecasts(keyed, OWNER).unfinished
    assert line.lock is not None
    assert (line.lock.size, line.lock.by, line.lock.known) == (wanted.size, NAME, False)
    (told,) = kept_stamps(keyed, OWNER)
    assert told.time is not None
    assert line.lock.time == told.time.strftime("%Y-%m-%dT%H:%M:%SZ")

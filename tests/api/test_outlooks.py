"""Scores over REST: the same as the use case's, rounded; every outlook stands in the list of what became of it."""

import pytest

from api.outlook_example import OUTLOOK_ANSWERS
from ledger.actor import Permission
from ledger.rules.scoring import PIT_FROM
from ledger.usecases.forecasts import forecasts
from tests.api.door import OWNER, Door, door_to
from tests.fakes import FakeClock
from tests.usecases.forecast_books import Sent, a_batch

LISTS = {
    *("scored", "computed", "earlier", "unfinished", "no_result", "late"),
    *("after_sending", "taken_back", "sending_not_known"),
}


def batch(door: Door, year: int, *books: Sent) -> list[str]:
    clock = door.ledger.clock
    assert isinstance(clock, FakeClock)
    return a_batch(door.ledger, clock, year, books)


def test_an_empty_ledger_has_nothing_to_score(door: Door) -> None:
    told = door.get("/outlooks/scores").json()
    assert {name: told[name] for name in LISTS} == {name: [] for name in LISTS}
    assert (told["in_all"], told["computed_in_all"], told["pit"]) == (None, None, [])
    assert [each["count"] for each in told["reliability"]] == [0] * 5


def test_a_forecast_stands_beside_its_result_with_its_scores(door: Door) -> None:
    scored, waiting = batch(door, 2025, Sent(), Sent(result=""))
    door = door_to(door.ledger, {Permission.READ})
    told = door.get("/outlooks/scores").json()
    (line,) = told["scored"]
    example = OUTLOOK_ANSWERS["read_scores"]["scored"][0]
    same = ("weights", "result", "before", "surprise", "scores", "stays", "gains", "gains_from", "service")
    assert {name: line[name] for name in same} == {name: example[name] for name in same}
    assert (line["book"], line["sent_on"], line["outcome_on"]) == (scored, "2025-03-01", "2025-05-01")
    assert [each["book"] for each in told["unfinished"]] == [waiting]
    worth = OUTLOOK_ANSWERS["read_scores"]["in_all"]
    told_at = {each["grade"]: each for each in told["in_all"].pop("at_least")}
    assert told["in_all"] == {name: value for name, value in worth.items() if name != "at_least"}
    assert told_at["9.2"] == worth["at_least"][0]
    assert told["reliability"] == OUTLOOK_ANSWERS["read_scores"]["reliability"]
    assert [each["key"] for each in told["by_service"]] == ["Third Bench"]


def test_the_numbers_are_those_of_the_use_case(door: Door) -> None:
    grades = ("9.0", "9.2", "9.4")
    batch(door, 2025, *(Sent(result=grades[place % 3]) for place in range(PIT_FROM)), Sent(result=""))
    told = door_to(door.ledger, {Permission.READ}).get("/outlooks/scores").json()
    found = forecasts(door.ledger, OWNER)
    assert told["pit"] == [round(float(each), 6) for each in found.pit]
    assert sum(told["pit"]) == pytest.approx(1)
    offered = found.unfinished[0].recalibrated
    assert offered is not None
    assert told["unfinished"][0]["recalibrated"] == [
        {"grade": grade.text, "per_mille": weight} for grade, weight in offered
    ]
    assert found.in_all is not None
    assert told["in_all"]["rps"] == round(float(found.in_all.rps), 6)
    assert not told["in_all"]["few"]


def test_it_needs_a_token_that_may_read(door: Door) -> None:
    assert door.get("/outlooks/scores", Authorization="").status_code == 401
    assert door_to(door.ledger, {Permission.SIGN}).get("/outlooks/scores").status_code == 403
    assert door.get("/outlooks/scores?of=all").status_code == 400

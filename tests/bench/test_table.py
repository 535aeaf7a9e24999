"""The table of ratios: which files have rows in it, and when a row is met."""

from time import sleep

import pytest

from tests.bench import __main__ as table
from tests.bench import book, collection
from tests.bench.measuring import Ratio, compared


def a_ratio(ours: float, goal: float = 2.0) -> Ratio:
    return Ratio(what="a page", ours=ours, reference="a bare page", theirs=2.0, unit="ms", goal=goal)


def test_every_file_with_rows_is_found_by_being_here() -> None:
    found = list(table.registered())
    assert {"collection", "catalogue"} <= set(found)
    assert not {"bare", "serving", "measuring", "hundred_thousand", "test_table"} & set(found)


def test_a_row_says_whether_its_goal_is_met() -> None:
    assert (a_ratio(4.0).ratio, a_ratio(4.0).met, a_ratio(4.1).met) == (2.0, True, False)
    assert "not met" in str(a_ratio(4.1))
    assert "not met" not in str(a_ratio(4.0))


@pytest.mark.parametrize(("ours", "code"), [(4.0, 0), (4.1, 1)])
def test_the_run_fails_where_a_goal_is_not_met(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], ours: float, code: int
) -> None:
    monkeypatch.setattr(table, "measured", lambda _names: iter([a_ratio(1.0), a_ratio(ours)]))
    assert table.main(["collection"]) == code
    assert len(capsys.readouterr().out.splitlines()) == 3


def test_both_sides_are_done_as_often_and_in_turns() -> None:
    done: list[str] = []
    ours, theirs = compared(lambda: done.append("ours"), lambda: done.append("theirs"), times=3)
    assert done == ["ours", "theirs"] * 4
    assert min(ours, theirs) >= 0


def test_what_comes_before_each_of_ours_is_done_every_time_and_not_timed() -> None:
    done: list[str] = []

    def before() -> None:
        sleep(0.02)
        done.append("before")

    ours, _ = compared(lambda: done.append("ours"), lambda: done.append("theirs"), times=2, before=before)
    assert done == ["before", "ours", "theirs"] * 3
    assert ours < 20


def test_a_page_made_anew_has_the_goal_of_a_page_that_is_kept() -> None:
    assert (book.GOAL, collection.GOAL) == (2.0, 2.0)

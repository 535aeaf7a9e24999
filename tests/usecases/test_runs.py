"""Runs and wants over a ledger, in every kind of store: what is owned, missing and double, and which wants are met."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.care import CareRow, CareWriter, Drawer
from ledger.errors import ForbiddenError, InvalidError, NotFoundError
from ledger.events.sale import Disclosed, Means, Sale
from ledger.rules.grades import Grade
from ledger.runs import Printed, Run, read_printed, run_key
from ledger.usecases import runs as kept
from ledger.usecases import wants
from ledger.usecases.record import Draft
from ledger.usecases.runs import RunSaid, forget_run, look_at_run, look_at_runs, state_run
from ledger.usecases.wants import WantSaid, keep_want, look_at_wants, take_want
from tests.builders import a_slab, an_issue, on, usd
from tests.conftest import Kept
from tests.store.writing import OWNER, WHEN, Scribe

READER = Actor(id="reader", scopes={Permission.READ})


@pytest.fixture
def scribe(store: Kept) -> Scribe:
    made = Scribe(store.log)
    for place, number in enumerate(("1", "3", "3", "Annual 1", "12")):
        made.buy(book=f"b{place}", issue=an_issue(title="Amber Anchor", start_year=1952, number=number))
    made.buy(book="b5", issue=an_issue(title="amber anchor", start_year=1952, number="5"))
    made.buy(book="b6", issue=an_issue(title="Amber Anchor", start_year=1988, number="1"))
    made.buy(book="b7", issue=an_issue(title="Bold Beacon", start_year=None, number="7"))
    return made


KEY = run_key("Amber Anchor", 1952)
SAID = RunSaid(title="Amber Anchor", start_year=1952, printed=read_printed("1", "6", "4", "Annual 1-2"))


def numbers(lines: object) -> list[str]:
    return [each.number for each in lines]  # type: ignore[attr-defined]  # lines of a run


def names(runs: tuple[Run, ...]) -> list[tuple[str, int | None, int]]:
    return [(run.title, run.start_year, len(run.owned)) for run in runs]


def test_every_series_is_a_run_whatever_the_capitals_of_its_title(scribe: Scribe) -> None:
    assert names(look_at_runs(scribe.ledger, OWNER)) == [
        ("Amber Anchor", 1952, 5),
        ("Amber Anchor", 1988, 1),
        ("Bold Beacon", None, 1),
    ]


def test_a_run_shows_what_is_missing_once_it_is_said_which_numbers_there_are(scribe: Scribe) -> None:
    assert look_at_run(scribe.ledger, OWNER, KEY).missing == ()
    run = state_run(scribe.ledger, OWNER, SAID)
    assert numbers(run.lines) == ["1", "2", "3", "5", "6", "12", "Annual 1", "Annual 2"]
    assert numbers(run.missing) == ["2", "6", "Annual 2"]
    assert numbers(run.double) == ["3"]
    assert numbers(run.strange) == ["12"]
    assert look_at_run(scribe.ledger, OWNER, KEY) == run
    forget_run(scribe.ledger, OWNER, KEY)
    assert look_at_run(scribe.ledger, OWNER, KEY).printed is None
    with pytest.raises(NotFoundError):
        forget_run(scribe.ledger, OWNER, KEY)
    with pytest.raises(NotFoundError):
        look_at_run(scribe.ledger, OWNER, "nothing-x-00000000")


def test_the_best_copy_has_the_highest_grade_in_force_and_a_book_that_left_is_not_owned(scribe: Scribe) -> None:
    issue = an_issue(title="Amber Anchor", start_year=1952, number="3")
    scribe.write(Draft(event=a_slab(issue=issue), new_book=True, id="b9"))
    best = look_at_run(scribe.ledger, OWNER, KEY).double[0].best
    assert best is not None
    assert best.book == "b9"
    scribe.add("b9", Sale(means=Means.SOLD, disclosed=Disclosed.NOT_APPLICABLE, on=on("2026-02")))
    best = look_at_run(scribe.ledger, OWNER, KEY).double[0].best
    assert best is not None
    assert best.book == "b1"


def test_a_run_of_which_nothing_is_owned_is_kept_too(scribe: Scribe) -> None:
    said = replace(SAID, title="  Copper   Comet ", start_year=None)
    run = state_run(scribe.ledger, OWNER, said)
    assert (run.title, run.owned) == ("Copper Comet", ())
    assert names(look_at_runs(scribe.ledger, OWNER))[-1] == ("Copper Comet", None, 0)


def test_what_is_no_run_is_refused(scribe: Scribe, monkeypatch: pytest.MonkeyPatch) -> None:
    for said in (replace(SAID, title=" "), replace(SAID, title="x" * 201), replace(SAID, start_year=52)):
        with pytest.raises(InvalidError):
            state_run(scribe.ledger, OWNER, said)
    with pytest.raises(ForbiddenError):
        state_run(scribe.ledger, READER, SAID)
    with pytest.raises(ForbiddenError):
        look_at_runs(scribe.ledger, Actor(id="other", scopes={Permission.RECORD}))
    monkeypatch.setattr(kept, "RUNS_MOST", 0)
    with pytest.raises(InvalidError, match="Take one away"):
        state_run(scribe.ledger, OWNER, SAID)


HARMED: tuple[dict[str, Any], ...] = (
    {},
    {"title": 1},
    {"title": "A", "never": [1], "also": []},
    {"title": "A", "number": 1, "most": {}},
    {"title": "A", "number": "1", "least": "12.0"},
)


def test_a_row_that_was_harmed_says_nothing(scribe: Scribe) -> None:
    care = scribe.ledger.care
    assert care is not None

    def work(writer: CareWriter) -> None:
        for place, said in enumerate(HARMED):
            for prefix in ("run/", "want/"):
                writer.put(Drawer.CARE, CareRow(id=f"{prefix}r{place}", made=WHEN, said=said))

    care.write(work)
    assert len(look_at_runs(scribe.ledger, OWNER)) == 3
    assert look_at_wants(scribe.ledger, OWNER).wants == ()


def test_a_want_is_met_by_a_copy_that_is_good_enough(scribe: Scribe) -> None:
    any_copy = keep_want(scribe.ledger, OWNER, WantSaid(title="amber anchor", number="#3"))
    assert any_copy.is_met
    assert any_copy.best is not None
    assert any_copy.best.book == "b1"
    said = WantSaid(title="Amber Anchor", number="3", start_year=1952, least=Grade("8.0"), most=usd("40.00"))
    better = keep_want(scribe.ledger, OWNER, said)
    assert not better.is_met, "the copies here have no grade"
    issue = an_issue(title="Amber Anchor", start_year=1952, number="3")
    scribe.write(Draft(event=a_slab(issue=issue), new_book=True, id="b9"))
    found = look_at_wants(scribe.ledger, OWNER)
    assert [each.is_met for each in found.wants] == [True, True]
    assert found.open == ()


def test_the_year_of_a_want_is_that_of_the_series(scribe: Scribe) -> None:
    said = WantSaid(title="Amber Anchor", number="12", start_year=1988)
    assert keep_want(scribe.ledger, OWNER, said).best is None
    assert keep_want(scribe.ledger, OWNER, replace(said, start_year=None)).best is not None


def test_a_want_is_changed_and_taken_away(scribe: Scribe) -> None:
    want = keep_want(scribe.ledger, OWNER, WantSaid(title="Copper Comet", number="1", note=" with its poster "))
    assert want.said.note == "with its poster"
    changed = keep_want(scribe.ledger, OWNER, replace(want.said, most=usd("5.00")), want.id)
    assert (changed.id, changed.said.most) == (want.id, usd("5.00"))
    take_want(scribe.ledger, OWNER, want.id)
    assert look_at_wants(scribe.ledger, OWNER).wants == ()
    for act in (
        lambda: take_want(scribe.ledger, OWNER, want.id),
        lambda: keep_want(scribe.ledger, OWNER, want.said, want.id),
    ):
        with pytest.raises(NotFoundError):
            act()


def test_the_list_has_open_wants_and_what_runs_miss(scribe: Scribe) -> None:
    state_run(scribe.ledger, OWNER, SAID)
    keep_want(scribe.ledger, OWNER, WantSaid(title="Amber Anchor", number="3"))
    keep_want(scribe.ledger, OWNER, WantSaid(title="Bold Beacon", number="8"))
    found = look_at_wants(scribe.ledger, OWNER)
    assert [each.said.number for each in found.open] == ["8"]
    assert [(run.title, numbers(run.missing)) for run in found.runs] == [("Amber Anchor", ["2", "6", "Annual 2"])]


@pytest.mark.parametrize(
    "said",
    [
        WantSaid(title="", number="1"),
        WantSaid(title="A", number=" "),
        WantSaid(title="A", number="1" * 41),
        WantSaid(title="A", number="1", start_year=3),
        WantSaid(title="A", number="1", note="x" * 501),
        WantSaid(title="A", number="1", most=-usd("1.00")),
    ],
)
def test_what_is_no_want_is_refused(scribe: Scribe, said: WantSaid, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(InvalidError):
        keep_want(scribe.ledger, OWNER, said)
    with pytest.raises(ForbiddenError):
        keep_want(scribe.ledger, READER, WantSaid(title="A", number="1"))
    monkeypatch.setattr(wants, "WANTS_MOST", 0)
    with pytest.raises(InvalidError, match="Take one away"):
        keep_want(scribe.ledger, OWNER, WantSaid(title="A", number="1"))


def test_what_is_said_of_a_run_is_read_back_as_it_was(scribe: Scribe) -> None:
    printed = Printed(first=0, last=3, never=("2",), also=("1/2", "Annual 3"))
    assert state_run(scribe.ledger, OWNER, replace(SAID, printed=printed)).printed == printed

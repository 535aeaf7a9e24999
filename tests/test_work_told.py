"""Work as a whole book tells it: no step lightens its heading, and what was cut off or went wrong is work all the same."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.dose import dose_of, heat_of
from ledger.events import Event
from ledger.events._settings import Settings
from ledger.events._step import DefectOutcome, Ended, WorkedDefect
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.history import Moment, fold, history
from ledger.rows import row_of
from ledger.rules.headings import Fact, Heading, Purpose
from ledger.rules.techniques import technique, techniques
from ledger.statement import Statement, statement
from tests.builders import BOOK, CODEC, a_book, a_defect, a_purchase, an_examination, an_intervention, at, chain

TECHNIQUE: Final = {Purpose.STABILISE: "rest-under-weight", Purpose.APPEARANCE: "cold-press"}
"""One of each purpose; a step says the facts itself."""
FACTS: Final = tuple(product(Fact, Fact, Fact))
DOMAIN: Final = tuple(product(FACTS, Purpose))
"""All 54: three facts with three answers each, and two purposes."""


def a_step(facts: tuple[Fact, Fact, Fact], purpose: Purpose, **more: Any) -> Intervention:
    adds, removes, alters = facts
    said: dict[str, Any] = {"adds_material": adds, "removes_original": removes, "alters": alters, **more}
    return an_intervention(TECHNIQUE[purpose], **said)


def moments_of(*events: Event) -> list[Moment]:
    return history(chain(a_purchase(), *events), CODEC)


def shown(*steps: Event) -> Heading | None:
    """The heading that the lists and the page show of a book to which these happened, one after the other."""
    book = a_book()
    for seq, step in enumerate(steps, start=2):
        book = step.apply(book, at(seq))
    said = row_of(book, ()).heading
    return None if said is None else Heading(said)


def said_of(*steps: Event) -> Statement:
    moments = moments_of(*steps)
    return statement(fold(BOOK, 1, moments), moments)


def rank(heading: Heading | None) -> int:
    return -1 if heading is None else heading.rank


STEPS: Final = tuple(a_step(facts, purpose) for facts, purpose in DOMAIN)
ADDITIVE: Final = tuple(step for step in STEPS if step.facts[0] is Fact.YES)


def test_the_domain_is_whole_and_its_headings_are_those_of_the_rule() -> None:
    assert {TECHNIQUE[each] for each in Purpose} == {
        each.id for each in techniques() if each.id in TECHNIQUE.values() and each.heading is Heading.NON_ADDITIVE
    }
    assert all(technique(name).purpose is purpose for purpose, name in TECHNIQUE.items())
    assert len({(step.facts, step.technique) for step in STEPS}) == len(STEPS) == 54
    assert len(ADDITIVE) == 18
    assert {step.heading for step in ADDITIVE} == {Heading.CONSERVATION, Heading.RESTORATION}


@pytest.mark.parametrize("before", [(), *((each,) for each in STEPS)], ids=lambda before: f"{len(before)}")
def test_one_more_step_never_lightens_the_heading_whatever_was_done_before(before: Sequence[Intervention]) -> None:
    lightest = shown(*before)
    for step in STEPS:
        after = shown(*before, step)
        assert rank(after) >= rank(lightest)
        assert rank(after) >= rank(step.heading)
        if step in ADDITIVE:
            assert after in (Heading.CONSERVATION, Heading.NOT_SETTLED, Heading.RESTORATION)


@settings(deadline=None)
@given(st.lists(st.sampled_from(STEPS), max_size=8), st.sampled_from(ADDITIVE), st.integers(0, 8), st.data())
def test_an_additive_step_put_in_anywhere_never_lightens_the_book(
    steps: list[Intervention], added: Intervention, place: int, data: st.DataObject
) -> None:
    more = [*steps[:place], added, *steps[place:]]
    assert rank(shown(*more)) >= max(rank(shown(*steps)), rank(added.heading))
    assert shown(*data.draw(st.permutations(more))) is shown(*more), "their order is nothing to it"
    before, after = said_of(*steps), said_of(*more)
    assert set(after.not_done) <= set(before.not_done)
    assert added.heading in {heading for heading, _ in after.done}
    assert after.steps == before.steps + 1


SAID: Final = st.tuples(
    st.sampled_from(STEPS),
    st.sampled_from([None, *Heading]),
    st.sampled_from([None, *Ended]),
    st.sampled_from([None, *DefectOutcome]),
)


@settings(deadline=None)
@given(st.lists(SAID, min_size=1, max_size=6))
def test_an_owner_who_holds_another_heading_how_it_ended_and_what_was_seen_change_nothing_of_it(
    said: list[tuple[Intervention, Heading | None, Ended | None, DefectOutcome | None]],
) -> None:
    plain = [step for step, *_ in said]
    otherwise = [
        replace(
            step,
            owner_heading=None if held is step.heading else held,
            ended=ended,
            worked_defects=(WorkedDefect(id="d1", outcome=outcome),),
        )
        for step, held, ended, outcome in said
    ]
    assert shown(*otherwise) is shown(*plain)
    assert said_of(*otherwise).not_done == said_of(*plain).not_done


ENDED: Final = tuple(product((each.id for each in techniques()), (None, *Ended)))


@pytest.mark.parametrize(("name", "ended"), ENDED)
def test_a_step_of_any_technique_however_it_ended_is_kept_listed_and_counted(name: str, ended: Ended | None) -> None:
    heat = Settings(set_celsius="65", hold_minutes=10, cooling_minutes=30)
    step = an_intervention(name, ended=ended, settings=heat)
    assert list(step.flaws()) == []
    moments = moments_of(step)
    book = fold(BOOK, 1, moments)
    assert [(done.seq, done.technique, done.ended) for done in book.work] == [(2, name, ended and ended.value)]
    said = statement(book, moments)
    listed = [each for _, steps in said.done for each in steps] + list(said.signed)
    assert [(each.seq, each.technique, each.ended) for each in listed] == [(2, name, ended)]
    planned = dose_of(an_intervention(name, settings=heat))
    assert planned is not None
    assert dose_of(step) == planned
    heated = heat_of(moments)
    assert (heated.sessions, heated.untold, heated.band) == (1, 0, planned.band)


def test_what_was_seen_right_after_stays_a_claim_until_a_look_finds_it() -> None:
    look = an_examination("2024-02-05", defects=(a_defect(),))
    for outcome in DefectOutcome:
        step = an_intervention("cold-press", worked_defects=(WorkedDefect(id="d1", outcome=outcome),))
        moments = moments_of(look, step)
        book = fold(BOOK, 1, moments)
        assert book.defects == {"d1": a_defect()}, "no step changes a defect"
        (seen,) = statement(book, moments).done[0][1]
        assert seen.outcomes == step.worked_defects
        found: Examination = an_examination("2024-04-05", defects=(a_defect(size_mm="9"),))
        assert fold(BOOK, 1, moments_of(look, step, found)).defects["d1"].size_mm == "9"

"""The intervention: its rules, its heading, what it changes, its line."""

from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest

from ledger.book import Status, WorkDone
from ledger.errors import InvalidError
from ledger.events._parts import Face, Holding, Region
from ledger.events._settings import Moisture, Settings
from ledger.events._step import Ended, MaterialUsed, WorkedRegion
from ledger.events.correction import Correction
from ledger.proof.canonical import Plain
from ledger.rules._tables import table
from ledger.rules.headings import Fact, Heading
from ledger.rules.techniques import techniques
from ledger.sealed import Sealed
from tests.builders import (
    CODEC,
    a_book,
    a_defect,
    a_purchase,
    a_slab,
    against,
    an_intervention,
    an_opening,
    at,
    broken_rules,
    chain,
    folded,
    shut,
    usd,
    worked_on,
)

SLABBED = a_book(holding=Holding.SLABBED)


def settings(**changes: Any) -> Settings:
    return Settings(
        **{"set_celsius": "65", "hold_minutes": 20, "cooling_minutes": 700, "total_minutes": 720, **changes}
    )


def test_the_technique_is_one_of_the_table() -> None:
    assert broken_rules(an_intervention("ironing")) == [("intervention.1", "technique")]


@pytest.mark.parametrize("row", techniques(), ids=lambda row: row.id)
def test_every_technique_of_the_table_can_be_written(row: Any) -> None:
    assert broken_rules(an_intervention(row.id)) == []
    assert an_intervention(row.id).heading is row.heading


def test_work_on_a_slabbed_book_comes_after_an_opening() -> None:
    assert broken_rules(an_intervention(), SLABBED) == [("intervention.2", "on")]
    assert broken_rules(an_intervention("housing"), SLABBED) == []


def test_work_from_before_the_opening_is_refused_and_from_after_it_is_not() -> None:
    opened = chain(a_slab(), an_opening("2024-03-01"))
    refused, _ = against(opened, an_intervention(when="2024-02-20"))
    assert [problem.rule for problem in refused] == ["intervention.2"]
    assert against(opened, an_intervention(when="2024-03-02")) == ([], [])
    assert against(opened, an_intervention(when="2024-03-01")) == ([], [])
    _, warned = against(opened, an_intervention(when="2024-03"))
    assert [problem.rule for problem in warned] == ["intervention.2"]


@pytest.mark.parametrize("status", [Status.EXPECTED, Status.OUT])
def test_a_book_that_is_not_here_is_worked_on_only_by_other_hands(status: Status) -> None:
    assert broken_rules(an_intervention(), a_book(status=status)) == [("intervention.3", "by_other_hands")]
    assert broken_rules(an_intervention(by_other_hands=True), a_book(status=status)) == []


def test_a_book_that_was_not_bought_yet_is_not_worked_on() -> None:
    refused, _ = against(chain(a_purchase()), an_intervention(when="2023-12-31"))
    assert [(problem.rule, problem.field) for problem in refused] == [("intervention.0", "on")]


def test_defects_worked_on_have_been_named_before() -> None:
    step = an_intervention(worked_defects=worked_on("d1", "d2"))
    book = a_book(defects=MappingProxyType({"d1": a_defect()}))
    assert broken_rules(step, book) == [("intervention.4", "worked_defects.1")]
    assert broken_rules(replace(step, worked_defects=worked_on("d1")), book) == []


def test_hold_and_cooling_lie_within_the_total() -> None:
    assert broken_rules(an_intervention(settings=settings())) == []
    assert broken_rules(an_intervention(settings=settings(total_minutes=719))) == [
        ("intervention.5", "settings.total_minutes")
    ]
    assert broken_rules(an_intervention(settings=settings(cooling_minutes=None, total_minutes=19))) == [
        ("intervention.5", "settings.total_minutes")
    ]
    assert broken_rules(an_intervention(settings=settings(total_minutes=None))) == []


@pytest.mark.parametrize("moisture", [Moisture.NONE, Moisture.LIGHT_MIST])
def test_a_relative_humidity_is_that_of_a_room_or_a_chamber(moisture: Moisture) -> None:
    step = an_intervention("hot-press-humidified", settings=settings(moisture=moisture, rh_percent=75))
    assert broken_rules(step) == [("intervention.5", "settings.rh_percent")]


def test_a_press_after_humidification_takes_moisture_and_a_dry_one_does_not() -> None:
    chamber = settings(moisture=Moisture.CHAMBER, rh_percent=75)
    assert broken_rules(an_intervention("hot-press-humidified", settings=chamber)) == []
    assert broken_rules(an_intervention("hot-press-dry", settings=chamber)) == [("intervention.6", "settings.moisture")]
    room = settings(moisture=Moisture.ROOM, rh_percent=50)
    assert broken_rules(an_intervention("hot-press-dry", settings=room)) == []


def test_a_step_under_heat_may_leave_the_temperature_unknown() -> None:
    assert broken_rules(an_intervention("hot-press-dry", settings=settings(set_celsius=None))) == []
    assert broken_rules(an_intervention("hot-press-dry")) == []


def test_an_owners_heading_is_another_than_the_one_the_facts_give() -> None:
    same = an_intervention("colour-touch", owner_heading=Heading.RESTORATION)
    assert broken_rules(same) == [("intervention.7", "owner_heading")]
    other = an_intervention(
        "colour-touch", owner_heading=Heading.CONSERVATION, owner_words=Sealed.of("a stop to fading")
    )
    assert broken_rules(other) == []
    assert (other.heading, other.owner_heading) == (Heading.RESTORATION, Heading.CONSERVATION)


def test_words_on_another_heading_come_with_one() -> None:
    assert broken_rules(an_intervention(owner_words=Sealed.of("I see it otherwise"))) == [
        ("intervention.7", "owner_heading")
    ]


def test_a_material_is_named_once_a_batch() -> None:
    sponge, other = MaterialUsed(what="sponge"), MaterialUsed(what="sponge", batch="77-B")
    assert broken_rules(an_intervention(materials=(sponge, other))) == []
    assert broken_rules(an_intervention(materials=(sponge, other, other))) == [("intervention.8", "materials.2")]
    assert broken_rules(an_intervention(materials=(sponge, sponge))) == [("intervention.8", "materials.1")]


@pytest.mark.parametrize("material", [{"what": " "}, {"what": "s" * 81}, {"what": "sponge", "batch": "7" * 81}, {}])
def test_a_material_is_named_in_a_few_words(material: dict[str, Plain]) -> None:
    with pytest.raises(InvalidError) as caught:
        CODEC.read("intervention", {"technique": "dry-cleaning", "materials": [material]})
    assert [each.field.rpartition(".")[0] for each in caught.value.problems] == ["materials.0"]


def test_a_defect_is_named_once_whatever_was_seen_of_it() -> None:
    book = a_book(defects=MappingProxyType({"d1": a_defect()}))
    twice = an_intervention(worked_defects=worked_on("d1 gone", "d1"))
    assert broken_rules(twice, book) == [("intervention.8", "worked_defects.1")]


@pytest.mark.parametrize("seen", ["gone", "lessened", "worse"])
def test_a_step_that_changed_nothing_left_every_defect_the_same(seen: str) -> None:
    book = a_book(defects=MappingProxyType({"d1": a_defect(), "d2": a_defect("d2")}))
    step = an_intervention(worked_defects=worked_on("d2 same", f"d1 {seen}"), changed_anything=False)
    assert broken_rules(step, book) == [("intervention.9", "changed_anything")]
    assert broken_rules(replace(step, worked_defects=worked_on("d2 same", "d1")), book) == []
    assert broken_rules(replace(step, changed_anything=True), book) == []
    assert broken_rules(replace(step, changed_anything=None), book) == []


def test_whether_it_changed_anything_follows_from_the_outcomes_where_it_is_not_said() -> None:
    # Our assumption: "same" of every defect does not tell of the rest of the book, so nothing follows from it.
    cases = {(): None, ("d1",): None, ("d1 same",): None, ("d1 same", "d2 lessened"): True, ("d1 worse",): True}
    for outcomes, changed in cases.items():
        step = an_intervention(worked_defects=worked_on(*outcomes))
        assert step.changed is changed
        assert step.apply(a_book(), at()).work[0].changed_anything is changed
    assert an_intervention(worked_defects=worked_on("d1 same"), changed_anything=True).changed is True
    assert an_intervention(worked_defects=worked_on("d1 same"), changed_anything=False).changed is False


def test_a_change_beside_defects_that_are_all_the_same_is_asked_about_and_may_stand() -> None:
    book = a_book(defects=MappingProxyType({"d1": a_defect(), "d2": a_defect("d2")}))
    odd = an_intervention(worked_defects=worked_on("d1 same", "d2 same"), changed_anything=True)
    assert broken_rules(odd, book) == []
    assert [each.field for each in odd.doubts(book)] == ["changed_anything"]
    for fine in (
        replace(odd, changed_anything=False),
        replace(odd, changed_anything=None),
        replace(odd, worked_defects=worked_on("d1 same", "d2")),
        replace(odd, worked_defects=()),
    ):
        assert list(fine.doubts(book)) == []


def test_a_heat_that_was_perhaps_read_off_a_dial_in_fahrenheit_is_asked_about_and_may_stand() -> None:
    # By the definition of the scale: 160 °F is 71.1 °C, 212 °F the boiling point of water at 100 °C.
    for said, meant in (("160", "71"), ("212", "100")):
        hot = an_intervention(settings=settings(set_celsius=said))
        assert broken_rules(hot, a_book()) == []
        (doubt,) = hot.doubts(a_book())
        assert doubt.field == "settings.set_celsius"
        assert f"{said} °F, correct it: that is {meant} °C" in doubt.sentence
    assert list(an_intervention(settings=settings(set_celsius="120", measured_celsius="-30")).doubts(a_book())) == []


def test_hands_may_be_at_it_longer_or_shorter_than_the_press() -> None:
    for hands in (0, 5, 720, 800):
        assert broken_rules(an_intervention(settings=settings(), duration_minutes=hands)) == []


@pytest.mark.parametrize(
    ("ended", "told"),
    [
        (None, ""),
        (Ended.AS_PLANNED, ""),
        (Ended.CUT_OFF, "; cut off before its end"),
        (Ended.GONE_WRONG, "; it went wrong"),
    ],
)
def test_how_it_ended_is_told_and_nothing_is_taken_for_granted(ended: Ended | None, told: str) -> None:
    step = an_intervention(ended=ended)
    assert broken_rules(step) == []
    assert step.summary() == f"Dry surface cleaning: non-additive{told}"
    assert step.apply(a_book(), at()).work[0].ended == (ended.value if ended else None)
    assert step.heading is an_intervention().heading


def test_a_cost_is_not_below_zero() -> None:
    assert [problem.field for problem in an_intervention(cost=Sealed.of(usd("-1.00"))).flaws()] == ["cost"]


def test_a_fact_left_open_is_as_the_row_says_and_one_that_is_said_counts() -> None:
    assert an_intervention("colour-touch").facts == (Fact.YES, Fact.NO, Fact.NO)
    said = an_intervention("dry-cleaning", removes_original=Fact.YES)
    assert (said.facts, said.heading) == ((Fact.NO, Fact.YES, Fact.NO), Heading.RESTORATION)


def test_what_is_not_known_is_never_non_additive() -> None:
    assert an_intervention("dry-cleaning", alters=Fact.NOT_KNOWN).heading is Heading.NOT_SETTLED


def test_a_technique_this_program_does_not_know_has_no_settled_heading() -> None:
    unknown = an_intervention("ironing")
    assert (unknown.facts, unknown.heading) == ((Fact.NOT_KNOWN,) * 3, Heading.NOT_SETTLED)
    assert unknown.apply(a_book(), at()).work[0].heading is Heading.NOT_SETTLED
    assert unknown.summary() == "ironing: heading not settled"


def test_a_corrected_technique_brings_its_own_facts() -> None:
    step = an_intervention("dry-cleaning").complete(())
    assert step.table_version == table("techniques").version
    book = folded(a_purchase(), step, Correction(entry=2, changes={"technique": "colour-touch"}))
    assert [(done.technique, done.heading) for done in book.work] == [("colour-touch", Heading.RESTORATION)]


def test_it_adds_one_step_of_work_and_changes_no_defect() -> None:
    book = a_book(defects=MappingProxyType({"d1": a_defect()}))
    step = an_intervention(
        "colour-touch",
        changed_anything=False,
        owner_heading=Heading.CONSERVATION,
        worked_defects=worked_on("d1 same"),
        worked_faces=(Face.FRONT,),
        regions=(WorkedRegion(face=Face.FRONT, region=Region(x_mm="12", y_mm="3.5")),),
    )
    after = step.apply(book, at(5))
    assert after.work == (
        WorkDone(
            seq=5,
            on=step.on,
            technique="colour-touch",
            heading=Heading.RESTORATION,
            changed_anything=False,
            disagreement="conservation",
        ),
    )
    assert after.defects == book.defects


def test_its_line_tells_technique_heat_and_heading() -> None:
    press = shut(an_intervention("hot-press-dry", settings=settings(), by_other_hands=True))
    assert press.summary() == "Hot press, dry by other hands, 65 °C for 20 min: non-additive"
    nothing = an_intervention("dry-cleaning", changed_anything=False)
    assert nothing.summary() == "Dry surface cleaning: non-additive; it changed nothing"
    other = an_intervention("colour-touch", owner_heading=Heading.CONSERVATION)
    assert other.summary() == "Colour touch: restoration, the owner holds conservation"
    assert (
        an_intervention(settings=settings(set_celsius=None)).summary() == "Dry surface cleaning, 20 min: non-additive"
    )


def test_a_signature_has_a_sentence_of_its_own() -> None:
    assert an_intervention("signature").summary() == (
        "Signature, dedication or drawing added by hand; ink was added, which is not colour touch: restoration"
    )

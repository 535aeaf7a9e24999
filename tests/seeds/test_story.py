"""The story: its root is golden, it says every kind, no two books share a story, and its names are sealed."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields
from pathlib import Path

import pytest

from ledger.actor import Actor
from ledger.bootstrap import OWNER, open_ledger
from ledger.climate_damp import Warned
from ledger.entry import Entry
from ledger.events import KINDS, Event
from ledger.events._base import is_sealed
from ledger.events._parts import Defect
from ledger.events._step import DefectOutcome, Ended
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement
from ledger.events.purchase import Purchase
from ledger.history import Moment, broken, history
from ledger.money import Money
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.air import air_of_room
from ledger.usecases.batches import look_at_batches
from ledger.usecases.checkpoint import current
from ledger.usecases.verify import verify_ledger
from seeds.climate import BATTERY, DAYS
from seeds.covers.issues import ISSUES
from seeds.fixed import COLLECTION, SEED, StoryChance, StoryClock
from seeds.story import all_acts
from seeds.story._names import NAMES
from seeds.story._telling import tell_act_by_act
from tests.check import check_ledger

# Made by `python -m seeds` (its last line); whatever changes a byte of an entry changes it.
ENTRIES = 819
BOOKS = 62
ROOT = "a5a2e5b3e6b750cd73ac729a61289184c7a1bbbae0d0024529e5146196fcccc1"


def _chains(ledger: Ledger) -> dict[str, list[Entry]]:
    with ledger.log.read() as reader:
        return {head.book: reader.of_book(head.book) for head in reader.book_heads()}


def _entries(ledger: Ledger) -> list[Entry]:
    with ledger.log.read() as reader:
        return [reader.entry(row.seq) for row in reader.stored(1, reader.head().size)]


def _remarks(event: Event) -> Iterator[str]:
    """Every sentence in a sealed field of it."""
    for each in fields(event):
        value = getattr(event, each.name).value if is_sealed(each) else None
        if isinstance(value, str) and value.count(" ") > 3:
            yield value


def test_the_root_of_the_story_is_always_the_same(told: Ledger) -> None:
    with told.log.read() as reader:
        now = current(reader)
    assert (now.size, now.heads_count, now.root.hex()) == (ENTRIES, BOOKS, ROOT)


@pytest.mark.long
def test_told_act_by_act_every_entry_is_the_same_as_told_at_one_stroke(told: Ledger, tmp_path: Path) -> None:
    clock, chance = StoryClock(), StoryChance()
    settings = Settings(folder=str(tmp_path / "told"))
    with open_ledger(settings, clock=clock, chance=chance, seed=SEED, collection=COLLECTION) as ledger:
        tell_act_by_act(ledger, OWNER, clock.put)
        with ledger.log.read() as reader, told.log.read() as other:
            assert current(reader) == current(other)
            assert [each.note for each in reader.checkpoints()] == [each.note for each in other.checkpoints()]
            rows = [reader.book(head.book) for head in reader.book_heads()]
            assert rows == [other.book(head.book) for head in other.book_heads()]


def test_the_story_has_every_issue_and_over_250_entries_in_four_years(told: Ledger) -> None:
    entries = _entries(told)
    issues = {(each.event.issue.title, each.event.issue.number) for each in entries if isinstance(each.event, Purchase)}
    assert issues == {(each.series, each.number) for each in ISSUES.values()}
    assert len(issues) >= 24
    assert len(entries) >= 250
    assert entries[0].recorded.year == 2022
    assert (entries[-1].recorded - entries[0].recorded).days >= 4 * 365
    recorded = [each.recorded for each in entries]
    assert recorded == sorted(recorded)


def test_acts_are_written_down_one_after_another() -> None:
    moments = [act.recorded for act in all_acts()]
    assert len(set(moments)) == len(moments)


def test_the_story_says_every_kind_but_a_restore(told: Ledger) -> None:
    assert {each.event.kind for each in _entries(told)} == set(KINDS) - {"restored"}


def test_lots_batches_and_press_loads_are_one_act_each(told: Ledger) -> None:
    acts = defaultdict(list)
    for each in _entries(told):
        acts[each.act].append(each.event.kind)
    together = Counter((kinds[0], len(kinds)) for kinds in acts.values() if len(set(kinds)) == 1 and len(kinds) > 1)
    assert together["purchase", 5] == 1
    assert together["submission", 4] == 2
    assert together["slab", 4] == 1
    assert together["intervention", 3] == 1


def test_books_of_the_story_were_out_together_and_came_back_beside_their_forecasts(told: Ledger) -> None:
    batches = [each for each in look_at_batches(told, OWNER) if len(each.books) > 1]
    assert len(batches) >= 2
    assert any(book.surprise is not None for each in batches for book in each.books)


def test_no_two_books_have_the_same_story(told: Ledger) -> None:
    stories = Counter(
        tuple((each.event.kind, getattr(each.event, "technique", "")) for each in chain)
        for chain in _chains(told).values()
    )
    assert [story for story, count in stories.items() if count > 1] == []


def test_no_remark_is_used_for_two_occasions(told: Ledger) -> None:
    acts = defaultdict(set)
    for each in _entries(told):
        if each.book is not None:
            for remark in _remarks(each.event):
                acts[remark].add(each.act)
    assert len(acts) > 150
    # Where something hangs or lies is said again each time it comes back there.
    places = {each.event.place.value for each in _entries(told) if isinstance(each.event, Placement)}
    assert {remark for remark, found in acts.items() if len(found) > 1} <= {*places, *NAMES}


def test_two_ticks_a_corner_crease_and_an_edge_dent_are_never_on_one_book(told: Ledger) -> None:
    for book, chain in _chains(told).items():
        types = {defect.type for entry in chain for defect in _defects(entry)}
        assert not types >= {"spine-tick", "crease", "edge-dent"}, book


def _defects(entry: Entry) -> Iterable[Defect]:
    return entry.event.defects if isinstance(entry.event, Examination) else ()


def test_every_book_has_a_front_picture(told: Ledger) -> None:
    with told.log.read() as reader:
        without = [head.book for head in reader.book_heads() if reader.book(head.book).cover is None]
    assert without == []


def test_at_least_eight_worked_books_have_photographs_from_before_and_after_of_one_side_in_one_light(
    told: Ledger,
) -> None:
    shown = {book for book, chain in _chains(told).items() if _before_and_after(history(chain, told.codec))}
    assert len(shown) >= 8


def _before_and_after(moments: Sequence[Moment]) -> bool:
    """Some side was photographed before any work and after all of it, in the same light, and is not one picture twice."""
    in_force = [each.event for each in moments if each.in_force]
    work = [place for place, event in enumerate(in_force) if isinstance(event, Intervention)]
    shots = [(place, event) for place, event in enumerate(in_force) if isinstance(event, Photograph)]
    return bool(work) and any(
        first < work[0] and last > work[-1] and one.clean != other.clean
        for first, one in shots
        for last, other in shots
        if (one.face, one.light) == (other.face, other.light)
    )


def test_steps_of_the_story_tell_outcomes_batches_the_time_of_hands_and_one_that_was_cut_off(told: Ledger) -> None:
    steps = [each.event for each in _entries(told) if isinstance(each.event, Intervention)]
    outcomes = Counter(each.outcome for step in steps for each in step.worked_defects if each.outcome)
    assert {DefectOutcome.GONE, DefectOutcome.LESSENED, DefectOutcome.SAME} <= set(outcomes)
    assert any(each.batch for step in steps for each in step.materials)
    assert any(step.duration_minutes for step in steps)
    assert {step.ended for step in steps} >= {Ended.AS_PLANNED, Ended.CUT_OFF, None}


def test_heat_is_told_with_its_settings(told: Ledger) -> None:
    pressed = [each.event for each in _entries(told) if isinstance(each.event, Intervention) and each.event.row]
    hot = [event for event in pressed if event.row and event.row.needs_heat]
    assert len(hot) >= 8
    assert all(event.settings and event.settings.set_celsius for event in hot)


def test_the_told_ledger_verifies_without_a_finding(told: Ledger) -> None:
    report = verify_ledger(told, Actor(id="stranger"))
    assert report.findings == []
    assert report.checked["photographs"] >= 2 * len(_chains(told))
    assert check_ledger(told) == ENTRIES


def test_the_year_of_climate_lies_beside_the_story_with_its_damp_week_and_its_hole(told: Ledger) -> None:
    assert verify_ledger(told, Actor(id="stranger")).checked["climate files"] == 1
    study, landing = (air_of_room(told, Actor(id="stranger"), room) for room in ("study", "landing"))
    assert study is not None
    assert landing is not None
    assert (study.figures.warning, landing.figures.warning) == (Warned.DAMP, Warned.NONE)
    assert study.figures.damp[0].above_75 > 1
    assert len(study.figures.days) == DAYS - len(BATTERY)
    assert study.figures.coverage_per_mille == (DAYS - len(BATTERY)) * 1000 // DAYS


def test_no_entry_in_force_breaks_a_rule(told: Ledger) -> None:
    for book, chain in _chains(told).items():
        assert broken(book, history(chain, told.codec)) == []


def test_no_name_of_a_person_a_place_or_a_service_stands_in_an_entry(told: Ledger) -> None:
    with told.log.read() as reader:
        size = reader.head().size
        plain = b"\n".join(row.data for row in reader.stored(1, size))
        sealed = " ".join(str(value.value) for value in reader.sealed_between(1, size))
    for name in NAMES:
        assert name in sealed, f"{name} is nowhere in the story"
        assert name.split(",")[0].encode() not in plain, name


def test_the_erased_name_is_gone_with_its_correction_and_the_price_has_stayed(told: Ledger) -> None:
    (erasure,) = [each for each in _entries(told) if each.event.kind == "erasure"]
    assert erasure.book is not None
    moments = history(_chains(told)[erasure.book], told.codec)
    bought = next(moment.event for moment in moments if isinstance(moment.event, Purchase))
    assert bought.price.value == Money.of("41.00", "EUR")
    assert (bought.seller.value, str(bought.seller)) == (None, "erased")
    with told.log.read() as reader:
        gone = {(value.seq, value.name) for value in reader.sealed_between(1, ENTRIES) if value.salt is None}
    assert {name for _, name in gone} == {"seller", "new.seller"}


def test_money_is_mixed_and_the_oldest_purchase_is_in_a_currency_of_its_day(told: Ledger) -> None:
    prices = [each.event.price.value for each in _entries(told) if isinstance(each.event, Purchase)]
    used = Counter(price.currency for price in prices if price is not None)
    assert set(used) == {"EUR", "USD", "GBP", "DEM"}
    assert used["EUR"] > len(used) * used["DEM"]

"""Looks at a book in any number: ids keep their type, claims change nothing that was seen, each defect changes in one way."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import event, given, settings
from hypothesis import strategies as st

from ledger.events._parts import Answer, Defect, Face, OpinionOf
from ledger.events.examination import Examination
from ledger.history import fold, history
from ledger.looks import Change, LookSeen, looks_of
from tests.builders import BOOK, CODEC, a_purchase, against, an_examination, an_intervention, chain
from tests.counts import count

NAMES = ("d1", "d2", "d3")
TYPES = ("bend", "bend", "tear")
DAYS = [f"2024-{month:02d}-10" for month in range(3, 12)]
FACES = (Face.FRONT, Face.BACK)

DEFECTS = st.builds(
    lambda kind, face, size, gone, claimed: {
        "type": kind,
        "face": face,
        "size_mm": None if gone or claimed else size,
        "gone": gone,
        "claimed_by": claimed,
    },
    st.sampled_from(TYPES),
    st.sampled_from(FACES),
    st.sampled_from(["3", "3.4", "3.9", "4.2", "6"]),
    st.sampled_from([False, False, False, True]),
    st.sampled_from([None, None, OpinionOf.SELLER, OpinionOf.SERVICE]),
)
LOOKS = st.builds(
    lambda defects, faces, height: {
        "defects": tuple(Defect(id=name, breaks_colour=Answer.UNSURE, **said) for name, said in defects.items()),
        "faces_looked_at": faces,
        "height_mm": height,
    },
    st.dictionaries(st.sampled_from(NAMES), DEFECTS),
    st.sampled_from([(), (Face.FRONT,), FACES]),
    st.sampled_from([None, "260", "260.6", "261.2"]),
)
STORIES = st.lists(st.one_of(LOOKS, LOOKS, st.none()), min_size=3, max_size=len(DAYS))


def accepted(story: list[dict[str, Any] | None]) -> list[Any]:
    """The purchase, and of all that was to be written what the rules let stand: of a look the defects they let stand."""
    told: list[Any] = [a_purchase("2024-02-01")]
    for day, said in zip(DAYS, story, strict=False):
        one = an_intervention("cold-press", day) if said is None else an_examination(day, **said)
        refused = [*one.flaws(), *against(chain(*told), one)[0]]
        if isinstance(one, Examination):
            wrong = {int(each.field.split(".")[1]) for each in refused}
            one = replace(one, defects=tuple(each for at, each in enumerate(one.defects) if at not in wrong))
        told.append(one)
    event(f"{sum(isinstance(each, Examination) for each in told)} looks")
    return told


def looks(told: list[Any]) -> tuple[LookSeen, ...]:
    return looks_of(history(chain(*told), CODEC))


@settings(max_examples=count(100, 1000), deadline=None)
@given(STORIES)
def test_an_id_keeps_its_type_through_all_looks(story: list[dict[str, Any] | None]) -> None:
    told = accepted(story)
    types: dict[str, set[str]] = {}
    for each in told:
        for defect in each.defects if isinstance(each, Examination) else ():
            types.setdefault(defect.id, set()).add(defect.type)
    assert all(len(found) == 1 for found in types.values())
    book = fold(BOOK, 1, history(chain(*told), CODEC))
    assert {name: {each.type} for name, each in book.defects.items()} == types


@settings(max_examples=count(100, 1000), deadline=None)
@given(STORIES)
def test_claims_change_nothing_of_what_was_seen(story: list[dict[str, Any] | None]) -> None:
    told = accepted(story)
    without = [replace(each, defects=each.seen) if isinstance(each, Examination) else each for each in told]
    for with_claims, alone in zip(looks(told), looks(without), strict=True):
        assert [_as_new(each) for each in with_claims.seen] == list(alone.seen)
        assert with_claims.measured == alone.measured
        assert alone.claims == ()
    book, bare = (fold(BOOK, 1, history(chain(*each), CODEC)) for each in (told, without))
    assert {each.id: each for each in book.there} == {each.id: each for each in bare.there}


def _as_new(seen: Any) -> Any:
    """A defect that was claimed before it was seen is new where nobody claims anything."""
    return replace(seen, change=Change.NEW) if seen.change is Change.CONFIRMED else seen


@settings(max_examples=count(100, 1000), deadline=None)
@given(STORIES)
def test_at_each_look_every_known_defect_has_changed_in_one_way(story: list[dict[str, Any] | None]) -> None:
    known: dict[str, Defect] = {}
    for look in looks(accepted(story)):
        named = {each.id: each for each in look.event.seen}
        found = {change: {each.defect.id for each in look.changed(change)} for change in Change}
        assert sum(len(ids) for ids in found.values()) == len(look.seen)
        assert Counter(name for ids in found.values() for name in ids) == Counter(known.keys() | named.keys())
        assert found[Change.NEW] | found[Change.CONFIRMED] == named.keys() - known.keys()
        assert found[Change.UNSEEN] | found[Change.UNMENTIONED] == known.keys() - named.keys()
        assert {each.defect.face for each in look.changed(Change.UNMENTIONED)} <= set(look.event.faces_looked_at)
        assert not {each.defect.face for each in look.changed(Change.UNSEEN)} & set(look.event.faces_looked_at)
        assert found[Change.GONE] == {name for name, each in named.items() if each.gone}
        assert found[Change.BACK] == {name for name in known.keys() & named.keys() if _back(known[name], named[name])}
        assert not {each.defect.id for each in look.claims} & {each.defect.id for each in look.seen}
        for each in look.changed(Change.WORSE, Change.LESSENED):
            grown = Decimal(each.defect.size_mm or 0) - Decimal(known[each.defect.id].size_mm or 0)
            assert each.in_small_steps == (abs(grown) < 1)
            assert each.in_small_steps or (grown > 0) is (each.change is Change.WORSE)
        known = {each.defect.id: each.defect for each in look.seen}


def _back(before: Defect, now: Defect) -> bool:
    return before.gone and not now.gone

"""A date that has not come yet by the ledger's clock is warned of, and stands; what is planned may lie ahead."""

from dataclasses import fields, is_dataclass
from typing import Any, get_args, get_type_hints

import pytest

from ledger.events import KINDS, Event
from ledger.events._parts import OpinionOf
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.key import Action, Key
from ledger.events.placement import Around, Housing, Placement, Spot
from ledger.events.purchase import Purchase
from ledger.events.slab import Slab
from ledger.proof.checkpoint import origin_of
from ledger.proof.signature import SigningKey
from ledger.usecases.ahead import PLANNED
from ledger.usecases.record import Draft
from ledger.when import When
from tests.builders import a_purchase, a_stated_grade, an_examination, an_issue, on
from tests.conftest import COLLECTION
from tests.usecases.telling import Teller

# The clock of the tests stands at 3 o'clock on 2 January 2026, UTC.
AHEAD = ["2026-01-04", "2026-02", "2027", "203X", "2026-01-04/2027", "2026-01-04T00:00:00Z"]
COME = ["2026-01-03", "2026-01", "2026", "202X", "2025/2027", "2026-01-03T23:59:59+14:00", None]


def ahead(title: str, words: str) -> str:
    return f"{title}: {words} has not come yet by this computer's clock. If that is not meant, correct it."


@pytest.mark.parametrize("when", AHEAD)
def test_a_date_that_has_not_come_is_warned_of_and_stands(teller: Teller, when: str) -> None:
    told = teller.tell(Draft(event=an_examination(when), book=teller.buy()))
    assert told.warnings == (ahead("Happened", When(when).label()),)
    assert told.entries[0].event.on == When(when)


@pytest.mark.parametrize("when", COME)
def test_what_may_have_come_somewhere_on_earth_is_no_matter(teller: Teller, when: str | None) -> None:
    assert teller.tell(Draft(event=an_examination(when), book=teller.buy())).warnings == ()


def test_the_warning_is_kept_for_the_key(teller: Teller) -> None:
    draft = Draft(event=an_examination("2031"), book=teller.buy())
    told = teller.tell(draft, key="k", body=b"x")
    assert len(told.warnings) == 1
    assert teller.tell(draft, key="k", body=b"x").warnings == told.warnings


def test_a_theft_that_lies_ahead_is_warned_of(teller: Teller) -> None:
    vkey = SigningKey.from_seed(origin_of(COLLECTION), b"\x05" * 32).verifier.vkey
    stolen = Key(action=Action.STOLEN, vkey=vkey, stolen_since=on("2099-05-05"))
    assert teller.tell(Draft(event=stolen)).warnings == (ahead("Stolen since", "5 May 2099"),)


def test_a_date_deep_in_an_event_is_named_by_its_own_title(teller: Teller) -> None:
    stated = a_stated_grade("9.0", "9.0", opinion_of=OpinionOf.SERVICE)
    back = Slab(on=on("2025-12-01"), submission_known=False, stated=stated, came_back=on("2062"))
    assert teller.tell(Draft(event=back, book=teller.buy())).warnings == (ahead("Came back on", "2062"),)
    sleeve = Housing(around=Around.SLEEVE, changed_on=on("2055"), due=on("2060"))
    hung = Placement(on=on("2025-12-01"), spot=Spot.WALL, housings=(sleeve,))
    assert teller.tell(Draft(event=hung, book=teller.buy())).warnings == (ahead("Changed", "2055"),)


def test_what_is_planned_or_printed_may_lie_ahead(teller: Teller) -> None:
    bought = Draft(event=a_purchase(issue=an_issue(cover_date=on("2026-05"))), new_book=True, id="b-one")
    out = Custody(on=on("2025-12-01"), direction=Direction.OUT, to_whom=Hands.FRAMER, due_back=on("2026-09"))
    assert teller.tell(bought, Draft(event=out, book="b-one")).warnings == ()


def test_a_correction_is_warned_of_the_dates_it_gives_and_of_no_other(teller: Teller) -> None:
    book = teller.buy()
    seq = teller.add(book, an_examination("2031")).seq
    moved = teller.tell(Draft(event=Correction(entry=seq, changes={"on": "2032-05-05"}), book=book))
    assert moved.warnings == (ahead("Happened", "5 May 2032"),)
    other = teller.tell(Draft(event=Correction(entry=seq, changes={"lights": ["raking"]}), book=book))
    assert other.warnings == ()


def dates_of(kind: Any) -> set[str]:
    """Names of the fields of a kind, and of its parts, that hold a date."""
    hints = get_type_hints(kind)
    found: set[str] = set()
    for each in fields(kind):
        for inner in _inside(hints[each.name]):
            if inner is When:
                found.add(each.name)
            elif isinstance(inner, type) and is_dataclass(inner):
                found |= dates_of(inner)
    return found


def _inside(hint: Any) -> list[Any]:
    return [hint, *(deep for each in get_args(hint) for deep in _inside(each))]


def test_every_date_there_is_is_known_as_past_or_as_planned() -> None:
    kinds: list[type[Event]] = list(KINDS.values())
    assert Purchase in kinds
    every = {name for kind in kinds for name in dates_of(kind)}
    past = {"on", "came_back", "changed_on", "stolen_since"}
    assert every == past | PLANNED

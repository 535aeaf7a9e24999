"""Tells the story: every act through the use cases, in the order in which it was written down."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from ledger.actor import Actor
from ledger.events import Event
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.photograph import Shot as Taken
from ledger.usecases.photograph import photograph
from ledger.usecases.record import Draft, Recorded, record
from ledger.when import When
from seeds.pictures import read_picture
from seeds.story import (
    air,
    autumn,
    batches,
    coated,
    counts,
    dollar_lot,
    evening_sale,
    few_words,
    holders,
    kettle_lot,
    landing,
    lent,
    lot_of_five,
    old_shelf,
    opened,
    other_hands,
    post,
    rooms,
    second_copies,
    second_thoughts,
    sold,
    this_year,
    turned_away,
)
from seeds.story._acts import Act, Part, Shot, Told
from seeds.story._stroke import at_one_stroke, kept_ahead

CHAPTERS = (
    *(rooms, old_shelf, lot_of_five, opened, coated, second_thoughts, batches, autumn),
    *(holders, turned_away, post, sold, other_hands, lent, few_words, counts, this_year),
    *(dollar_lot, kettle_lot, evening_sale, second_copies, landing, air),
)


def all_acts() -> list[Act]:
    """Every act, the first recorded first."""
    return sorted((act for chapter in CHAPTERS for act in chapter.acts()), key=lambda act: act.recorded)


def tell(ledger: Ledger, actor: Actor, at: Callable[[datetime], None]) -> Told:
    """The whole story written into an empty ledger; `at` sets the ledger's clock before each act.

    Keeps: it is told to its end or not at all.
    Raises: what the use cases raise; a story that breaks a rule is not told.
    """
    names = [name for act in all_acts() for name in _pictures(act)]
    with kept_ahead(ledger.pictures, names) as pictures:
        return at_one_stroke(replace(ledger, pictures=pictures), lambda one: tell_act_by_act(one, actor, at))


def tell_act_by_act(ledger: Ledger, actor: Actor, at: Callable[[datetime], None]) -> Told:
    """The same, each act in a transaction of its own."""
    told = Told(ledger)
    for act in all_acts():
        at(act.recorded)
        for part, entry in zip(act.parts, _written(ledger, actor, act, told).entries, strict=True):
            if part.book is not None and entry.book is not None:
                told.ids[part.book] = entry.book
                told.entries.setdefault(part.book, []).append(entry)
        if act.signs:
            sign_checkpoint(ledger, actor)
    return told


def _pictures(act: Act) -> list[str]:
    return [part.event.picture for part in act.parts if isinstance(part.event, Shot)]


def _written(ledger: Ledger, actor: Actor, act: Act, told: Told) -> Recorded:
    shots = [part.event for part in act.parts if isinstance(part.event, Shot)]
    if shots:
        (book,) = {part.book for part in act.parts}
        return photograph(ledger, actor, told.ids[book or ""], [_taken(each, act) for each in shots])
    return record(ledger, actor, [_draft(part, act, told) for part in act.parts])


def _taken(shot: Shot, act: Act) -> Taken:
    said = {**shot.said, "caption": Sealed.of(shot.said["caption"] or None), "on": When.of_day(act.recorded.date())}
    return Taken(data=read_picture(shot.picture), said=said)


def _draft(part: Part, act: Act, told: Told) -> Draft:
    event = part.event
    assert not isinstance(event, Shot)
    ready = _dated(event if isinstance(event, Event) else event(told), act)
    known = told.ids.get(part.book or "")
    return Draft(event=ready, book=known, new_book=part.book is not None and known is None)


def _dated(event: Event, act: Act) -> Event:
    """The event with the day it was recorded, where the story gives no other."""
    if event.on is not None or act.undated:
        return event
    return replace(event, on=When.of_day(act.recorded.date()))

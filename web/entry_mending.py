"""Forms that start from an entry: correct it, withdraw it, or erase what is sealed in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.entry import Entry
from ledger.errors import NotFoundError, Problem
from ledger.events import KINDS, Event, NotUnderstood
from ledger.events.correction import NEW, NOT_CORRECTED
from ledger.events.disclosure import Disclosure
from ledger.history import Moment, history
from ledger.ports import Ledger
from ledger.proof.canonical import Plain
from ledger.sealed import Sealed, SealState
from ledger.usecases.record import Draft
from ledger.when import When
from web.entry_tasks import Asked, Ready, Task
from web.form_fields import Group, Leaf, Option, Part, Seal, Way
from web.form_layout import only
from web.form_parts import parts_of
from web.form_values import Habits
from web.forms import Form, Typed, strangers
from web.wording import t

__all__ = ["MENDING", "SEEN", "Correcting", "mending_task", "shown_to"]

MENDING: Final = frozenset({"correction", "withdrawal", "erasure"})
CHANGES: Final = "changes"
SEEN: Final = "seen"
"""Corrections that the entry had when the form was opened."""


@dataclass(frozen=True, kw_only=True)
class Correcting(Task):
    """A correction: only what was typed otherwise than it stood there is sent."""

    moment: Moment
    today: Mapping[str, Plain]
    """What the entry says now."""

    @property
    def seen(self) -> str:
        """The corrections of the entry as they are now."""
        return " ".join(str(seq) for seq in self.moment.corrected_by)

    def ready(self, ledger: Ledger, typed: Typed, habits: Habits) -> Ready:
        """The correction, with the fields that changed."""
        plain, heard = self.form.heard(typed, habits)
        typed_anew = self._typed_anew(typed)
        heard.problems[:] = [
            each for each in heard.problems if _top(each.field) in typed_anew or _top(each.field) == ""
        ]
        heard.problems += strangers(typed, heard.names | {SEEN})
        if "".join(typed.get(SEEN, ())) != self.seen:
            heard.problems.append(Problem(field="", sentence=t("new_entry.corrected_meanwhile")))
        values = plain.get(CHANGES)
        assert isinstance(values, dict)
        meant = {name: values.get(name, _blank(self.moment.event, name)) for name in sorted(typed_anew)}
        changes = {name: value for name, value in meant.items() if _bare(value) != _bare(self.today.get(name))}
        if not changes and not heard.problems:
            heard.problems.append(Problem(field="", sentence=t("new_entry.nothing_changed")))
        event = self.form.event({**plain, **self.fixed, CHANGES: changes}, heard, ledger.codec)
        return Ready(drafts=(Draft(event=event, book=self.moment.entry.book),), heard=(heard,))

    def _typed_anew(self, typed: Typed) -> set[str]:
        """Fields in which something else stands than at first."""
        names = {name for name in (*typed, *self.initial) if name.startswith(f"{CHANGES}.")}
        return {_top(name) for name in names if _said(typed, name) != _said(self.initial, name)}

    def notes(self, typed: Typed) -> dict[str, str]:
        """Below each field that was changed, what the entry says today."""
        return {
            name: t("new_entry.says_today", value=" ".join(values) or t("frame.not_known"))
            for name, values in self.initial.items()
            if name in typed and _said(typed, name) != _said(self.initial, name)
        }


def mending_task(ledger: Ledger, actor: Actor, asked: Asked, habits: Habits) -> Task:
    """The form that mends one entry.

    Raises: NotFoundError for an entry that there is not, or that is not mended so.
    """
    actor.require(Permission.READ)
    moment = _moment(ledger, asked)
    entry = moment.entry
    today = str(When.of_day(habits.today))
    fixed: dict[str, Plain] = {"entry": entry.seq, "on": today}
    if asked.kind == "correction":
        if entry.event.kind in NOT_CORRECTED:
            raise NotFoundError(what="correction of entry", name=str(entry.seq))
        parts = (_changes(moment.event), *only(parts_of(KINDS["correction"]), ["reason"]))
        form = Form(kind="correction", parts=parts)
        says = _plain(ledger, moment.event)
        return Correcting(
            asked=asked,
            form=form,
            target=entry,
            initial=form.inputs({CHANGES: says}, habits),
            fixed=fixed,
            moment=moment,
            today=says,
        )
    names = ["names", "reason"] if asked.kind == "erasure" else ["reason"]
    parts = tuple(_with_sealed(part, moment) for part in only(parts_of(KINDS[asked.kind]), names))
    return Task(asked=asked, form=Form(kind=asked.kind, parts=parts), target=entry, fixed=fixed)


def shown_to(ledger: Ledger, entry: Entry) -> list[int]:
    """The entries of records that have shown something of this entry already."""
    if entry.book is None:
        return []
    with ledger.log.read() as reader:
        chain = reader.of_book(entry.book)
    return [
        each.seq
        for each in chain
        if isinstance(each.event, Disclosure) and any(opened.entry == entry.seq for opened in each.event.opened)
    ]


def _moment(ledger: Ledger, asked: Asked) -> Moment:
    assert asked.entry is not None
    with ledger.log.read() as reader:
        entry = reader.entry(asked.entry)
        whole = reader.of_collection() if entry.book is None else reader.of_book(entry.book)
    if isinstance(entry.event, NotUnderstood):
        raise NotFoundError(what=f"{asked.kind} of entry", name=str(asked.entry))
    moments = history(whole, ledger.codec)
    return next(each for each in moments if each.entry.seq == entry.seq)


def _changes(event: Event) -> Group:
    """The form of the corrected kind, within the correction's."""
    return Group(name=CHANGES, title=event.title, parts=parts_of(type(event)))


def _plain(ledger: Ledger, event: Event) -> dict[str, Plain]:
    """What the entry says today, sealed values among it as far as they are at hand."""
    body, values = ledger.codec.split(event)
    held = event.sealed_fields()
    at_hand = {name: value for name, value in values.items() if held[name].state is SealState.OPEN}
    return {**body, **at_hand, "on": None if event.on is None else str(event.on)}


def _with_sealed(part: Part, moment: Moment) -> Part:
    """The names of sealed fields to tick, those that are gone already left out."""
    if not isinstance(part, Leaf) or part.name != "names":
        return part
    held = moment.event.sealed_fields()
    options = [
        Option(name, _told(moment.event, name, value), name)
        for name, value in held.items()
        if value.state is not SealState.ERASED
    ]
    return replace(part, way=Way.TICKS, options=tuple(options), title=t("new_entry.what_goes"), note="")


def _told(event: Event, name: str, value: Sealed[Any]) -> str:
    """A sealed field by its title, and that nothing stands in it."""
    title = next((each.title for each in _titled(event) if each.name == name), name.removeprefix(NEW))
    return t("new_entry.is_empty", title=title) if value.empty else title


def _titled(event: Event) -> Sequence[Part]:
    return [part for part in parts_of(type(event)) if getattr(part, "seal", Seal.NONE)]


def _top(name: str) -> str:
    """The field of the corrected kind that an input belongs to; empty for one of the correction itself."""
    return name.split(".")[1].partition(":")[0] if name.startswith(f"{CHANGES}.") else ""


def _said(typed: Typed, name: str) -> tuple[str, ...]:
    return tuple(value.strip().replace("\r\n", "\n") for value in typed.get(name, ()) if value.strip())


def _blank(event: Event, name: str) -> Plain:
    """What stands for nothing in a field: an empty list where it holds several."""
    value = getattr(event, name)
    held = value.value if isinstance(value, Sealed) else value
    return [] if isinstance(held, tuple) else None


def _bare(value: Plain) -> Plain:
    """A value without what is not known in it, so that two that mean the same are alike."""
    if isinstance(value, dict):
        return {name: _bare(inner) for name, inner in value.items() if inner is not None}
    return [_bare(inner) for inner in value] if isinstance(value, list) else value

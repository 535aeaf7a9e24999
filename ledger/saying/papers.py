"""What has happened to the book entry by entry, what was opened of its sealed fields, and the records of earlier owners."""

from collections.abc import Iterator
from dataclasses import fields

from ledger.events import KINDS, Event
from ledger.events.correction import NEW, Correction
from ledger.events.earlier import Earlier
from ledger.events.intervention import Intervention
from ledger.events.photograph import Photograph
from ledger.events.purchase import Purchase
from ledger.history import Moment
from ledger.proof.sheet import Block, Facts, Section, Table, Words
from ledger.saying.spelling import day, plainly, written
from ledger.saying.told import EarlierSaid, Told
from ledger.saying.wording import t
from ledger.when import When

__all__ = ["earlier", "entries", "opened"]

_ENTRIES = ("number", "happened", "written", "what")
_OPENED = ("entry", "field", "value")
_IN_PLACE: dict[type[Event], frozenset[str]] = {
    Intervention: frozenset({"who", "remark", "owner_words"}),
    Photograph: frozenset({"caption"}),
    Purchase: frozenset({"earlier_work_words"}),
}
"""Fields that stand in full where their step, photograph or purchase is told."""


def entries(of: Told) -> Section:
    """One line for each entry, by number, with those that were corrected or are out of force shown as such."""
    by_number = sorted(of.moments, key=lambda each: each.entry.seq)
    rows = tuple(tuple(_row(each, later=each.entry.seq in of.after_hand_over)) for each in by_number)
    head = tuple(t(f"entries.{name}") for name in _ENTRIES)
    return Section("entries", t("entries.title"), (Words((t.n("entries.how", len(rows)),)), Table(head, rows)))


def _row(moment: Moment, *, later: bool) -> Iterator[str]:
    entry = moment.entry
    yield str(entry.seq)
    yield moment.event.on.label() if moment.event.on else moment.event.on_as_written or t("not_known")
    yield written(entry.recorded)
    said = [_summary(moment.event)]
    if moment.corrected_by:
        by = ", ".join(str(each) for each in moment.corrected_by)
        first = _summary(entry.event)
        said.append(t("entries.corrected", by=by))
        said += [t("entries.first", summary=first)] if first != said[0] else []
    if later:
        said.append(t("entries.later"))
    if moment.withdrawn_by is not None:
        said.append(t("entries.withdrawn", by=moment.withdrawn_by))
    yield " ".join(said)


def _summary(event: Event) -> str:
    """What it says without sealed values; of a correction no more fields than are told."""
    if isinstance(event, Correction) and not event.changes:
        return t("entries.corrects", seq=event.entry)
    return f"{event.summary()}."


def opened(of: Told) -> Section:
    """Every opened value that does not stand in full elsewhere, and what is said of all others."""
    rows = tuple(
        (t("entry", seq=moment.entry.seq), _field(moment.entry.event, name), plainly(value))
        for moment, name, value in of.opened()
        if not _in_place(moment, name)
    )
    blocks: list[Block] = [Words((t("opened.how"),))]
    blocks += [Table(tuple(t(f"opened.{name}") for name in _OPENED), rows)] if rows else [Words((t("opened.none"),))]
    return Section("opened", t("opened.title"), tuple(blocks))


def _in_place(moment: Moment, name: str) -> bool:
    """Its value stands where its entry is told, and is still the one that counts."""
    names = next((names for kind, names in _IN_PLACE.items() if isinstance(moment.event, kind)), frozenset())
    counts = moment.event.sealed_fields().get(name) == moment.entry.event.sealed_fields().get(name)
    return name in names and moment.in_force and counts


def _field(event: Event, name: str) -> str:
    """The title of a sealed field; of a correction that of the field it seals anew."""
    kind: type[Event] | None = type(event)
    if isinstance(event, Correction) and name.startswith(NEW):
        kind, name = KINDS.get(event.of_kind or ""), name.removeprefix(NEW)
    titles = {each.name: str(each.metadata.get("title", each.name)) for each in fields(kind)} if kind else {}
    return titles.get(name, name)


def earlier(of: Told) -> Section | None:
    """The record of every earlier owner, each as theirs; None where there is none."""
    named = {event.record for _, event in of.of(Earlier)}
    if not named and not of.earlier:
        return None
    blocks: list[Block] = [Words((t("earlier.apart"),))]
    blocks += [Facts(tuple(_theirs(each))) for each in of.earlier]
    here = {each.sha256 for each in of.earlier}
    missing = [
        t("earlier.missing", when=day(event.on), seq=moment.entry.seq, verdict=event.verdict.value, digest=event.record)
        for moment, event in of.of(Earlier)
        if event.record not in here
    ]
    blocks += [Words(tuple(missing), listed=True)] if missing else []
    return Section("earlier", t("earlier.title"), tuple(blocks))


def _theirs(of: EarlierSaid) -> Iterator[tuple[str, str]]:
    yield t("earlier.owner"), of.origin or t("not_known")
    yield t("earlier.received"), day(When.parse(of.on) if of.on else None)
    yield t("earlier.verdict"), of.verdict
    if of.sheet is None:
        yield t("earlier.says"), t("earlier.unreadable")
    else:
        yield t("earlier.of"), of.sheet.title
        yield t("earlier.says"), t("quoted", words=of.sheet.lead)
    yield t("earlier.digest"), of.sha256

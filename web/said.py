"""What an entry says, field by field in words; what of it is sealed; and what was said before a correction."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import Field, dataclass, fields, is_dataclass
from enum import Enum
from types import MappingProxyType
from typing import Any, NamedTuple

from ledger.events import KINDS, Event, NotUnderstood
from ledger.events._base import is_sealed
from ledger.events.correction import NEW, Correction
from ledger.events.withdrawal import Withdrawal
from ledger.history import Moment
from ledger.money import Money
from ledger.ports import Codec
from ledger.rules.headings import Fact
from ledger.rules.techniques import techniques
from ledger.sealed import Sealed, SealState
from ledger.when import When
from web.filters import money, when
from web.form_parts import unit_of
from web.wording import t

__all__ = ["Said", "Was", "changes_of", "in_full", "reason_of", "said_of", "sealed_of", "unsaid_of"]

BY_THEMSELVES = frozenset({"id", "type", "face", "what"})
"""Fields of a part that are understood without their name: d1; bend; front."""


class Said(NamedTuple):
    """One field: its name to a reader, its value in one or more lines, and for a sealed one what is at hand of it."""

    name: str
    title: str
    lines: tuple[str, ...]
    state: str = ""
    """Of a sealed field: open, empty, withheld or erased; empty for a field that is not sealed."""


@dataclass(frozen=True)
class Was:
    """One field as it was said before and as it is said now, with the entry that corrects it."""

    field: Said
    now: Said
    by: int


def said_of(event: Event) -> tuple[Said, ...]:
    """Every open field that says something, in the order in which it is asked for; when it happened stands elsewhere."""
    if isinstance(event, NotUnderstood):
        return tuple(Said(name, name, tuple(_lines(value, ""))) for name, value in event.body.items())
    return tuple(_said(event, each) for each in _open(event) if not _silent(getattr(event, each.name)))


def unsaid_of(event: Event) -> tuple[str, ...]:
    """The titles of the open fields that say nothing."""
    if isinstance(event, NotUnderstood):
        return ()
    return tuple(_title(each) for each in _open(event) if _silent(getattr(event, each.name)))


def sealed_of(event: Event) -> tuple[Said, ...]:
    """Every sealed field, the empty ones too."""
    of = KINDS.get(event.of_kind or "") if isinstance(event, Correction) else None
    titles = _titles(type(event))
    if of:
        titles = {**titles, **{f"{NEW}{name}": t("entry.anew", title=title) for name, title in _titles(of).items()}}
    return tuple(_sealed(name, titles.get(name, name), value) for name, value in event.sealed_fields().items())


def changes_of(moment: Moment, moments: Sequence[Moment], codec: Codec) -> tuple[Was, ...]:
    """What corrections made of an entry, one after the other: each field as it was, and as it is now."""
    found: list[Was] = []
    event, by_seq = moment.entry.event, {each.entry.seq: each.entry for each in moments}
    for seq in moment.corrected_by:
        correction = by_seq[seq].event
        assert isinstance(correction, Correction)  # only corrections correct
        after = codec.amended(event, correction.changes)
        changed = [each for each in fields(event) if each.name in correction.changes]
        found += [Was(_any(event, each), _any(after, each), seq) for each in changed]
        event = after
    return tuple(found)


def in_full(moment: Moment, moments: Sequence[Moment], codec: Codec) -> tuple[tuple[Said, ...], tuple[Said, ...]]:
    """What an entry says openly, and what is sealed in it; of a correction each new value, as its field is written."""
    event = moment.event
    said, sealed = said_of(event), sealed_of(event)
    if not isinstance(event, Correction):
        return said, sealed
    target = next((each.entry.event for each in moments if each.entry.seq == event.entry), None)
    if target is None or isinstance(target, NotUnderstood):
        return said, sealed
    after = codec.amended(target, event.changes)
    values = [_any(after, each) for each in fields(after) if each.name in event.changes]
    anew = [each._replace(title=t("entry.anew", title=each.title)) for each in values]
    shut = {f"{NEW}{each.name}": each for each in anew if each.state == SealState.OPEN.value}
    kept = [each for each in said if each.name != "changes"]
    place = next((at for at, each in enumerate(kept, start=1) if each.name == "entry"), len(kept))
    opened = [each for each in anew if not each.state]
    return (
        (*kept[:place], *opened, *kept[place:]),
        tuple(each._replace(lines=shut[each.name].lines) if each.name in shut else each for each in sealed),
    )


def reason_of(event: Event) -> str:
    """Why a correction or withdrawal was written, where that is at hand."""
    reason = event.reason if isinstance(event, Correction | Withdrawal) else Sealed[str].of(None)
    return reason.value or ""


def _open(event: Event) -> list[Field[Any]]:
    return [each for each in fields(event) if each.name != "on" and not is_sealed(each)]


_titled: dict[type[Event], Mapping[str, str]] = {}


def _titles(kind: type[Event]) -> Mapping[str, str]:
    """What each field of a kind is called; looked up once."""
    found = _titled.get(kind)
    if found is None:
        found = _titled[kind] = MappingProxyType({each.name: _title(each) for each in fields(kind)})
    return found


def _title(each: Field[Any]) -> str:
    return str(each.metadata.get("title", each.name))


def _any(event: Event, each: Field[Any]) -> Said:
    value = getattr(event, each.name)
    return _sealed(each.name, _title(each), value) if isinstance(value, Sealed) else _said(event, each)


def _said(event: Event, each: Field[Any]) -> Said:
    value = getattr(event, each.name)
    lines = tuple(_lines(value, unit_of(each)))
    if each.name == "technique":
        lines = tuple(row.title for row in techniques() if row.id == value) or lines
    return Said(each.name, _title(each), lines)


def _sealed(name: str, title: str, value: Sealed[Any]) -> Said:
    if value.state is not SealState.OPEN:
        return Said(name, title, (), value.state.value)
    if value.value is None:
        return Said(name, title, (), "empty")
    return Said(name, title, tuple(_lines(value.value, "")), value.state.value)


def _silent(value: object) -> bool:
    """Nothing was said: null, or a list without anything in it."""
    return value is None or (isinstance(value, tuple | Mapping) and not value)


def _lines(value: object, unit: str) -> Iterator[str]:
    """A value in words, one line for each part that stands by itself."""
    match value:
        case tuple() | list():
            for each in value:
                yield "; ".join(_lines(each, unit))
        case Mapping():
            for name, each in value.items():
                yield t("entry.part", name=name, value="; ".join(_lines(each, "")))
        case _ if is_dataclass(value) and not isinstance(value, When | Money) and len(fields(value)) > 1:
            yield from _parts(value)
        case _:
            yield f"{_word(value)} {unit}".rstrip()


def _parts(value: Any) -> Iterator[str]:  # noqa: ANN401 - any part of an event
    """A part of several fields: those that say something, each with its name where its value alone is no answer."""
    for each in fields(value):
        inner = getattr(value, each.name)
        if not _silent(inner) and inner is not False:
            words = ", ".join(_lines(inner, unit_of(each)))
            yield words if each.name in BY_THEMSELVES else t("entry.part", name=_title(each), value=words)


def _word(value: object) -> str:
    match value:
        case None | Fact.NOT_KNOWN:
            said = t("frame.not_known")
        case bool():
            said = t("entry.yes") if value else t("entry.no")
        case When():
            said = when(value)
        case Money():
            said = money(value)
        case Enum():
            said = str(value.value)
        case Sealed():
            said = t("entry.sealed_apart")
        case _:
            said = str(value)
    return said

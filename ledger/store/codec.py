"""Events to plain data and back: the one reader of stored bodies and the one maker of open bodies."""

from collections.abc import Mapping
from typing import Any, cast

from pydantic import TypeAdapter, ValidationError

from ledger._unfit import problems_of
from ledger.errors import InvalidError, MalformedError
from ledger.events import KINDS, Event, NotUnderstood
from ledger.events._base import sealed_names
from ledger.proof.canonical import Plain, encode
from ledger.sealed import Sealed, SealState
from ledger.when import When

_ADAPTERS: dict[str, TypeAdapter[Any]] = {}


def adapter(kind: type[Event]) -> TypeAdapter[Any]:
    """The schema reader of one kind, made once."""
    made = _ADAPTERS.get(kind.kind)
    if made is None:
        made = _ADAPTERS[kind.kind] = TypeAdapter(kind)
    return made


class EventCodec:
    """Events to and from plain data, by the field types of their kinds."""

    def read(self, kind: str, plain: Mapping[str, Plain]) -> Event:
        """The event of that kind, from plain data with its sealed values plainly in it.

        Requires: a kind this program knows.
        Raises: InvalidError with every problem and its field.
        """
        return read_event(KINDS[kind], plain)

    def split(self, event: Event) -> tuple[dict[str, Plain], dict[str, Plain]]:
        """The open body, and the value of every sealed field by name.

        Requires: the event is of a kind this program knows.
        """
        form = event.open_form()
        names = set(sealed_names(type(form)))
        body = adapter(type(form)).dump_python(form, mode="json", exclude={"on", *names}, warnings="error")
        plain = adapter(type(event)).dump_python(_without_shut(event), mode="json", include=names, warnings="error")
        values = {name: plain.get(name, held.value) for name, held in event.sealed_fields().items()}
        return body, values

    def join(
        self, kind: str, v: int, on: str | None, body: Mapping[str, Plain], sealed: Mapping[str, Sealed[Any]]
    ) -> Event:
        """The event, brought up to the version of today; NotUnderstood for a kind this program does not know.

        Raises: InvalidError, also for a sealed value under a name that the kind does not have.
        """
        known = KINDS.get(kind)
        if known is None or v > known.v or v < 1:
            return NotUnderstood(on=_when(on), date=on, wire_kind=kind, version=v, body=dict(body), sealed=dict(sealed))
        current = dict(body)
        for version in range(v, known.v):
            current = known.upcasters[version](current)
        names = sealed_names(known)
        open_values = {n: s.value for n, s in sealed.items() if n in names and s.state is SealState.OPEN}
        event = read_event(known, {**current, "on": on, **open_values})
        shut = {n: s for n, s in sealed.items() if s.state is not SealState.OPEN or n not in names}
        return event.with_sealed(shut) if shut else event

    def amended(self, event: Event, changes: Mapping[str, Any]) -> Event:
        """The event with other values for these fields; values are plain, or sealed ones as they are."""
        body, values = self.split(event)
        sealed = event.sealed_fields()
        names = set(values)
        for name, value in changes.items():
            if name in names:
                sealed[name] = value if isinstance(value, Sealed) else Sealed.of(value)
        opened = {name: value for name, value in changes.items() if name not in names}
        on = opened.pop("on", str(event.on) if event.on is not None else None)
        plain = {
            n: Sealed.of(values[n]) if s.state is SealState.OPEN and n not in changes else s for n, s in sealed.items()
        }
        return self.join(event.kind, event.v, on, {**body, **opened}, plain)


def read_event(kind: type[Event], plain: Mapping[str, Any]) -> Event:
    """An event from plain data with its sealed values plainly in it.

    Raises: InvalidError with every problem and its field.
    """
    try:
        return cast("Event", adapter(kind).validate_json(encode(dict(plain)), strict=True))
    except ValidationError as error:
        found = error.errors(include_url=False, include_input=False)
        raise InvalidError(problems=tuple(problems_of(found))) from error


def _when(on: str | None) -> When | None:
    """A date, when this program can read it; a newer one may have written more than that."""
    try:
        return When.parse(on) if on is not None else None
    except MalformedError:
        return None


def _without_shut(event: Event) -> Event:
    """The event with sealed fields that are not open emptied, so that it can be dumped."""
    shut = {
        name: Sealed[Any]() for name in sealed_names(type(event)) if getattr(event, name).state is not SealState.OPEN
    }
    return event.with_sealed(shut) if shut else event

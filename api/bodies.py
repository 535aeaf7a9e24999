"""Bodies: read with a limit, then strictly as JSON, then as what the door asks for; every problem is named at once."""

from collections.abc import Callable, Collection, Mapping
from functools import cache
from typing import Any, TypeVar, cast

from fastapi import Request
from pydantic import BaseModel, TypeAdapter, ValidationError

from api.amounts import as_counted, body_counted
from api.refusals import TooLargeError
from ledger._unfit import problems_of
from ledger.errors import InvalidError, MalformedError, Problem
from ledger.events import KINDS, Event, Scope
from ledger.events._base import with_article
from ledger.proof.canonical import Plain, encode, read

BODY_MOST = 2**20
"""Bytes a JSON body may have. The longest entry needs far less."""

BOOK_KINDS = frozenset(name for name, kind in KINDS.items() if kind.scope is not Scope.COLLECTION)
COLLECTION_KINDS = frozenset(name for name, kind in KINDS.items() if kind.scope is not Scope.BOOK)
"""Kinds by what they speak of; some speak of either."""

MENDING = ("correction", "withdrawal", "erasure")
"""Kinds that rest on what was read before."""

M = TypeVar("M", bound=BaseModel)


async def read_capped(request: Request) -> bytes:
    """The bytes of the body, refused as soon as they are known to be too many.

    Raises: TooLargeError.
    """
    stated = request.headers.get("content-length", "")
    if stated.isdecimal() and int(stated[:12]) > BODY_MOST:
        raise TooLargeError(most=BODY_MOST)
    data = bytearray()
    async for chunk in request.stream():
        data += chunk
        if len(data) > BODY_MOST:
            raise TooLargeError(most=BODY_MOST)
    return bytes(data)


def read_json(data: bytes) -> dict[str, Plain]:
    """One JSON object, without anything that two readers could take differently.

    Raises: MalformedError with the place and the mend.
    """
    plain = read(data, what="The body")
    if not isinstance(plain, dict):
        raise MalformedError(
            what="The body", problem="this is no JSON object", mend='Send one, such as {"kind": "note"}.'
        )
    return plain


def read_event(
    plain: Mapping[str, Plain],
    kinds: Collection[str],
    *,
    at: str = "",
    default: str | None = None,
    kind_at: Callable[[int], type[Event] | None] = lambda _: None,
) -> Event:
    """The event a body says; its `kind` tells which.

    `at` is where it stands in a larger body; `kind_at` tells the kind of an entry that is corrected.
    Raises: InvalidError with every problem and its field.
    """
    name = plain.get("kind", default)
    if not isinstance(name, str) or name not in kinds:
        raise InvalidError(problems=(Problem(field=_below(at, "kind"), sentence=_kind_sentence(name, kinds)),))
    kind = KINDS[name]
    said = {field: value for field, value in plain.items() if field != "kind"}
    entry = said.get("entry")
    corrects = kind_at(entry) if name == "correction" and type(entry) is int else None
    counted, found = as_counted(kind, said, corrects)
    try:
        event = cast("Event", adapter(name).validate_json(encode(counted), strict=True))
    except ValidationError as error:
        refused = {each.field.rpartition(".")[0] for each in found}
        found += [each for each in _problems(error) if not _within(each.field, refused)]
    if found:
        raise InvalidError(problems=tuple(_moved(each, at) for each in found))
    return event


def read_body(model: type[M], plain: Mapping[str, Plain]) -> M:
    """A body that is not an event.

    Raises: InvalidError with every problem and its field.
    """
    try:
        return model.model_validate_json(encode(dict(plain)), strict=True)
    except ValidationError as error:
        raise InvalidError(problems=tuple(_problems(error))) from error


def read_counted(model: type[M], plain: Mapping[str, Plain]) -> M:
    """A body that is not an event and has amounts, each counted or as people write it.

    Raises: InvalidError with every problem and its field.
    """
    counted, found = body_counted(model, plain)
    try:
        made = model.model_validate_json(encode(counted), strict=True)
    except ValidationError as error:
        refused = {each.field.rpartition(".")[0] for each in found}
        found += [each for each in _problems(error) if not _within(each.field, refused)]
        raise InvalidError(problems=tuple(found)) from error
    if found:
        raise InvalidError(problems=tuple(found))
    return made


@cache
def adapter(kind: str) -> TypeAdapter[Any]:
    """The schema reader of one kind, made once."""
    return TypeAdapter(KINDS[kind])


def _problems(error: ValidationError) -> list[Problem]:
    return problems_of(error.errors(include_url=False, include_input=False))


def _kind_sentence(name: object, kinds: Collection[str]) -> str:
    listed = ", ".join(sorted(kinds))
    if name is None:
        return f"kind is missing. It is one of: {listed}."
    if isinstance(name, str) and name in KINDS:
        other = "the collection itself: send it to /events" if KINDS[name].scope is Scope.COLLECTION else "a book"
        said = with_article(name).capitalize()
        return f"{said} speaks of {other}. Here the kind is one of: {listed}."
    return f"There is no such kind. It is one of: {listed}."


def _below(at: str, field: str) -> str:
    return f"{at}.{field}".strip(".")


def _moved(problem: Problem, at: str) -> Problem:
    return Problem(
        field=_below(at, problem.field), sentence=problem.sentence, rule=problem.rule, entries=problem.entries
    )


def _within(field: str, places: Collection[str]) -> bool:
    """The field is one of the places, or inside one."""
    return any(field == place or field.startswith(f"{place}.") for place in places)

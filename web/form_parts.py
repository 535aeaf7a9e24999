"""From an event class to the parts of its form: what each field asks for, in which way, and within which limits."""

import re
import types
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import StrEnum
from typing import Any, Final, Union, cast, get_args, get_origin, get_type_hints

from ledger.money import Money
from ledger.rules.grades import Grade, grades
from ledger.sealed import SEALED_TEXT_MAX, Sealed
from ledger.when import When
from web.form_fields import Group, Leaf, Option, Part, Rows, Seal, Way
from web.form_kinds import AREAS, BLANKS, FILLED_IN, FILLS, SIZES, TABLES, words_of
from web.wording import t

__all__ = ["parts_of", "unit_of"]

FEW: Final = 4
"""Answers that are all in sight; of more than these one is picked from a list."""
LINE_MOST: Final = 200
"""Characters of a text that is asked for in one line; a longer one gets several."""


def parts_of(kind: type) -> tuple[Part, ...]:
    """The parts of a form for an event, or for a dataclass within one, in the order of its fields."""
    made = _MADE.get(kind)
    if made is None:
        hints = get_type_hints(kind)
        asked = [each for each in fields(kind) if (kind.__name__, each.name) not in FILLED_IN]
        made = _MADE[kind] = tuple(part for each in asked for part in _part(kind, each, hints[each.name]))
    return made


_MADE: dict[type, tuple[Part, ...]] = {}


def _part(owner: type, each: "Field[Any]", hint: Any) -> Iterator[Part]:  # noqa: ANN401 - any type of a field
    bare, optional = _bare(hint)
    inner = get_args(bare)[0] if get_origin(bare) is tuple else None
    if isinstance(inner, type) and _is_nested(inner):
        yield _rows(each, inner)
    elif _is_nested(bare):
        yield Group(**_said(each), parts=parts_of(bare), optional=optional, of=bare.__name__)
    elif isinstance(inner or bare, type):
        yield _leaf(owner, each, bare, inner, optional=optional)


def _bare(hint: Any) -> tuple[Any, bool]:  # noqa: ANN401 - as above
    """The type itself, and whether nothing may stand there."""
    if get_origin(hint) is Sealed:
        return get_args(hint)[0], True
    if get_origin(hint) in (Union, types.UnionType):
        (bare,) = (arg for arg in get_args(hint) if arg is not type(None))
        return bare, True
    return hint, False


def _is_nested(kind: object) -> bool:
    return isinstance(kind, type) and is_dataclass(kind) and kind not in (Money, When, Grade)


def _said(each: "Field[Any]") -> dict[str, Any]:
    return {
        "name": each.name,
        "title": each.metadata["title"],
        "note": _in_words(each.metadata.get("description", ""), ""),
    }


def _rows(each: "Field[Any]", inner: type) -> Rows:
    title = words_of(inner.__name__)
    return Rows(
        **_said(each),
        row=Group(name="", title=title, parts=parts_of(inner), optional=True, of=inner.__name__),
        needed=bool(each.metadata.get("min_length")),
        most=each.metadata.get("max_length", 200),
        seal=_seal(each),
    )


def _leaf(owner: type, each: "Field[Any]", bare: type, inner: type | None, *, optional: bool) -> Leaf:
    is_filled = each.name == "id" and owner.__name__ in FILLS
    needed = each.default is MISSING and each.default_factory is MISSING and not optional and not is_filled
    offered = TABLES.get((owner.__name__, each.name))
    options = tuple(Option(*pair, pair[0]) for pair in offered()) if offered else _options(inner or bare)
    way = _way(each, bare, inner, len(options))
    if way in (Way.PICK, Way.CHOOSE) and (optional or (needed and way is Way.PICK)):
        options = (Option("", t("new_entry.choose_one") if needed else _blank(owner, each)), *options)
    unit = unit_of(each)
    note = "" if offered else _in_words(each.metadata.get("description", ""), unit)
    return Leaf(
        **{**_said(each), "note": t("new_entry.next_id") if is_filled else note},
        way=way,
        needed=needed,
        default=_default(each, way, optional=optional),
        options=options,
        unit=unit,
        seal=_seal(each),
        limits=_limits(each),
        size=SIZES.get((owner.__name__, each.name), ""),
    )


_WAYS: Final = {int: Way.WHOLE, Money: Way.MONEY, When: Way.DATE}


def _way(each: "Field[Any]", bare: type, inner: type | None, answers: int) -> Way:
    if inner is not None:
        return Way.SPAN if inner is Grade else Way.TICKS if answers else Way.LIST
    if bare in _WAYS:
        return _WAYS[bare]
    if answers:
        return Way.CHOOSE if answers <= FEW else Way.PICK
    if "unit" in _extra(each):
        return Way.DECIMAL
    longest = each.metadata.get("max_length", 0)
    return Way.AREA if each.name in AREAS or longest > LINE_MOST else Way.LINE


def _options(kind: type) -> tuple[Option, ...]:
    if kind is bool:
        return (Option("yes", t("new_entry.yes"), True), Option("no", t("new_entry.no"), False))  # noqa: FBT003
    if kind is Grade:
        return tuple(Option(each.text, f"{each.text} {each.letters}", each.text) for each in reversed(grades()))
    if issubclass(kind, StrEnum):
        return tuple(Option(each.value, words_of(each), each.value) for each in kind)
    return ()


def _blank(owner: type, each: "Field[Any]") -> str:
    """What it is called when none of the answers is given; of most things it is not known then."""
    name = BLANKS.get((owner.__name__, each.name))
    return t(f"new_entry.blank.{name}") if name else t("frame.not_known")


def _default(each: "Field[Any]", way: Way, *, optional: bool) -> tuple[str, ...]:
    value = None if each.default is MISSING else each.default
    if way in (Way.PICK, Way.CHOOSE) and optional:
        return ("",)
    if isinstance(value, bool):
        return ("yes" if value else "no",)
    return (str(value),) if isinstance(value, StrEnum) else ()


def _seal(each: "Field[Any]") -> Seal:
    extra = _extra(each)
    return Seal.NONE if not extra.get("sealed") else Seal.SHOWN if extra.get("shown") else Seal.CLOSED


def _limits(each: "Field[Any]") -> Mapping[str, Any]:
    named = {
        name: each.metadata[name]
        for name in ("min_length", "max_length", "pattern", "ge", "le")
        if name in each.metadata
    }
    longest = _extra(each).get("maxLength", SEALED_TEXT_MAX if _extra(each).get("sealed") else None)
    return {**named, **({"max_length": longest} if longest and "max_length" not in named else {})}


def _extra(each: "Field[Any]") -> dict[str, Any]:
    return cast("dict[str, Any]", each.metadata.get("json_schema_extra", {}))


def unit_of(each: "Field[Any]") -> str:
    """The unit a number counts in, from wherever its field names it."""
    named = _extra(each).get("unit") or ""
    found = _UNIT.search(each.metadata.get("description", ""))
    return str(named) or (found[1] if found else "")


_UNIT: Final = re.compile(r"Units: ([^.,;]{1,12})[.,;]")


def _in_words(note: str, unit: str) -> str:
    """A description for somebody who types: the unit stands in the label, and an empty field is not known by itself."""
    for said in (f"Units: {unit}, a decimal as text.", f"Units: {unit}."):
        note = note.replace(said, "") if unit else note
    note = _FOR_PROGRAMS.sub("", note)
    return " ".join(each for each in re.split(r"(?<=\.)\s+", note.strip()) if not _OF_PROGRAMS.search(each)).strip()


_FOR_PROGRAMS: Final = re.compile(r";[^.;]*\b[Nn]ull\b[^.;]*|, a decimal as text|; Units: [^.]*")
_OF_PROGRAMS: Final = re.compile(r"\b([Nn]ull|EDTF|Units)\b")

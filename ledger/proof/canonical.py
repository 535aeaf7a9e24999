"""Plain data and its one byte form: what is hashed has one spelling, and what is read has no second meaning.

Source: RFC 8785 (one form), RFC 7493 section 2 (what may be in it at all).
"""

import json
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import repeat
from typing import Any, Final, TypeAlias

import rfc8785

from ledger.proof.report import MalformedError

__all__ = ["DEEPEST", "GREATEST", "Plain", "decode", "encode", "read"]

Plain: TypeAlias = "dict[str, Plain] | list[Plain] | str | int | bool | None"
"""What an entry is made of: no fractions, no dates, no bytes."""

GREATEST: Final = 2**53 - 1
"""The greatest whole number every reader of JSON keeps exactly. Source: RFC 7493 section 2.2."""

DEEPEST: Final = 64
"""Lists and objects may stand inside one another this deep."""

VALUES_MOST: Final = 1_000_000
"""Values in one text. A record of ten thousand entries has a third of that; a million of them fill some hundred megabytes,
and a text of 64 MiB could hold twenty times as many. Our assumption."""

_QUICK_MOST: Final = 1024 * 1024
"""Bytes of what is read at first look: an entry has a few thousand."""

_Way: TypeAlias = tuple[str | int, ...]
_LAST_OF_PLANES: Final = "".join(chr(plane * 0x10000 + end) for plane in range(17) for end in (0xFFFE, 0xFFFF))
_NOT_TEXT: Final = re.compile(f"[\ud800-\udfff\ufdd0-\ufdef{_LAST_OF_PLANES}]")
_NAME: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*")
_QUOTED: Final = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"?', re.DOTALL)
_BRACKET: Final = re.compile(r"[\[{\]}]")
_BOM: Final = "\ufeff"


@dataclass(frozen=True)
class _Refused:
    """A place in a text that was read and cannot be taken; the walk over the tree finds where it stands."""

    problem: str
    mend: str


_FRACTION: Final = _Refused("a number with a fraction or an exponent is not exact", "Write it as a string.")
_NO_NUMBER: Final = _Refused("NaN and Infinity are not numbers", "Leave it out, or write it as a string.")
_TOO_GREAT: Final = _Refused(f"whole numbers reach from -{GREATEST} to {GREATEST}", "Write it as a string.")
_MINUS_ZERO: Final = _Refused("zero has no sign", "Write 0.")
_TOO_DEEP: Final = _Refused(f"lists and objects stand more than {DEEPEST} deep", "Make it flatter.")
_TOO_MANY: Final = _Refused(f"it has more than {VALUES_MOST} values", "Leave out what does not belong to it.")
_TWICE_MEND: Final = "Keep one of them."


def encode(value: Plain, *, what: str = "The value") -> bytes:
    """The one byte form of plain data.

    Raises: MalformedError with `where` as a path such as `body.price.minor`.
    Source: RFC 8785 section 3.2.
    """
    _need_plain(value, what)
    return _written(value)


def read(data: bytes | str, *, what: str = "The JSON text") -> Plain:
    """Plain data from JSON in any spacing; anything that two readers could take differently is refused.

    Raises: MalformedError with the place and the mend.
    Source: RFC 7493 section 2.
    """
    text = _text(data, what)
    if not _is_bounded(text):
        raise _malformed(_TOO_MANY, what, ())
    if _depth(text) > DEEPEST:
        raise _malformed(_TOO_DEEP, what, ())
    try:
        value = _READER.decode(text)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno} column {error.colno}"
        raise MalformedError(
            what=what, where=place, problem=f"this is not JSON ({error.msg})", mend="Take it again from its source."
        ) from error
    _need_plain(value, what)
    plain: Plain = value
    return plain


def decode(data: bytes, *, what: str = "The value") -> Plain:
    """Plain data from its one byte form; the same data spelled otherwise is refused.

    Keeps: `encode(decode(data)) == data`.
    Raises: MalformedError.
    """
    if (quick := _at_first_look(data)) is not None:
        return quick
    value = read(data, what=what)
    if _written(value) != data:
        raise MalformedError(
            what=what,
            problem="the bytes are not the one form of what they say",
            mend="Spaces, the order of names and escapes are fixed: write it as RFC 8785 does.",
        )
    return value


def _at_first_look(data: bytes) -> "dict[str, Plain] | None":
    """An object in its one form and in ASCII, as nearly all are; None leaves it to the strict reader, which says why not.

    The standard library's reader takes more than may be here, and none of it comes back as the same bytes: of a name that
    stands twice it keeps one, an escape comes back as what it stands for, -0 as 0. What would, is looked for: fractions
    and numbers that are no numbers stop it, and a number that may be too great has sixteen digits in a row.
    """
    if (
        len(data) > _QUICK_MOST
        or not data.isascii()
        or data.count(b"[") + data.count(b"{") > DEEPEST
        or _LONG_NUMBER.search(data)
    ):
        return None
    text = data.decode("ascii")
    try:
        value = _QUICK.decode(text)
    except (ValueError, RecursionError):
        return None
    return value if type(value) is dict and _WRITER.encode(value) == text else None


def _stop(_: str) -> object:
    raise ValueError("no plain data")


def _written(value: Plain) -> bytes:
    """Plain data in its one form.

    The standard library's writer gives the same bytes where every letter is ASCII and is five times as fast: code points
    and UTF-16 units sort alike there. Anything else asks the slow writer.
    """
    quick = f"[{','.join(map(_one_written, value))}]" if type(value) is list else _WRITER.encode(value)
    return quick.encode() if quick.isascii() else rfc8785.dumps(value)


def _one_written(value: Plain) -> str:
    """One value of a list; the writer has a short way for a text alone, and most lists hold nothing else."""
    return "null" if value is None else _WRITER.encode(value)


def _text(data: bytes | str, what: str) -> str:
    try:
        text = data if isinstance(data, str) else data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise MalformedError(
            what=what, where=f"byte {error.start}", problem="this is not UTF-8", mend="Save it as UTF-8."
        ) from error
    if text.startswith(_BOM):
        raise MalformedError(
            what=what, where="byte 0", problem="it begins with a byte order mark", mend="Save it as UTF-8 without one."
        )
    return text


def _depth(text: str) -> int:
    """How deep lists and objects stand in one another, without reading them: a deep nest must not use up the stack."""
    if text.count("[") + text.count("{") <= DEEPEST:
        return 0
    deepest = depth = 0
    for found in _BRACKET.finditer(_QUOTED.sub("", text)):
        depth += 1 if found[0] in "[{" else -1
        deepest = max(deepest, depth)
    return deepest


def _is_bounded(text: str) -> bool:
    """No more values than may be, seen without making one: each but the first stands behind a bracket or a comma."""
    return _marks(text) < VALUES_MOST or _marks(_QUOTED.sub("", text)) < VALUES_MOST


def _marks(text: str) -> int:
    return text.count(",") + text.count("[") + text.count("{")


def _object(pairs: list[tuple[str, Any]]) -> Any:  # noqa: ANN401 - a marker may stand where plain data should
    found = dict(pairs)
    if len(found) == len(pairs):
        return found
    seen: set[str] = set()
    twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
    return _Refused(f"the name {_shown(twice)} stands twice", _TWICE_MEND)


def _whole(digits: str) -> int | _Refused:
    if digits == "-0":
        return _MINUS_ZERO
    # The length is looked at first: turning a million digits into a number takes long.
    if len(digits.lstrip("-")) > len(str(GREATEST)):
        return _TOO_GREAT
    return int(digits)


_READER: Final = json.JSONDecoder(
    object_pairs_hook=_object,
    parse_float=lambda _: _FRACTION,
    parse_int=_whole,
    parse_constant=lambda _: _NO_NUMBER,
)
_QUICK: Final = json.JSONDecoder(parse_float=_stop, parse_constant=_stop)
_TEXT: Final = frozenset({str})
_LONG_NUMBER: Final = re.compile(rb"[0-9]{16}")
_WRITER: Final = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _need_plain(value: object, what: str) -> None:
    """Refuse what is not plain data, naming the first place; most is seen to be plain at the first look."""
    if not _is_plainly(value, DEEPEST):
        _examine(value, what)


def _is_plainly(value: object, room: int) -> bool:
    """Plain data of these very types, no more than so deep, and all of it in ASCII; False leaves it open."""
    if type(value) is str:
        return value.isascii()
    if type(value) is int:
        return -GREATEST <= value <= GREATEST
    if type(value) is dict:
        named = set(map(type, value)) <= _TEXT and "".join(value).isascii()
        # Mapped rather than looped over: this is done for every value of every entry, and takes half as long so.
        return named and room > 0 and all(map(_is_plainly, value.values(), repeat(room - 1)))
    if type(value) is list:
        if set(map(type, value)) <= _TEXT:
            return room > 0 and "".join(value).isascii()
        return room > 0 and all(map(_is_plainly, value, repeat(room - 1)))
    return value is None or type(value) is bool


def _examine(value: object, what: str, way: _Way = ()) -> None:
    """Refuse what is not plain data, naming the first place."""
    if isinstance(value, str):
        if not value.isascii():
            _examine_letters(value, what, way)
    elif isinstance(value, dict | list):
        if len(way) == DEEPEST:
            raise _malformed(_TOO_DEEP, what, way)
        if isinstance(value, dict):
            _examine_names(value, what, way)
        for step, inner in value.items() if isinstance(value, dict) else enumerate(value):
            _examine(inner, what, (*way, step))
    elif not (value is None or (isinstance(value, int) and -GREATEST <= value <= GREATEST)):
        raise _malformed(value if isinstance(value, _Refused) else _refusal(value), what, way)


def _examine_names(names: Iterable[object], what: str, way: _Way) -> None:
    for name in names:
        if not isinstance(name, str):
            raise _malformed(_Refused(f"the name {name!r} is no text", "Names are strings."), what, way)
        if not name.isascii():
            _examine_letters(name, what, (*way, name))


def _examine_letters(text: str, what: str, way: _Way) -> None:
    if bad := _NOT_TEXT.search(text):
        raise _malformed(_Refused(f"U+{ord(bad[0]):04X} is no character", "Take it out of the text."), what, way)
    if not unicodedata.is_normalized("NFC", text):
        problem = f"the text {_shown(text)} has a twin that looks the same"
        raise _malformed(_Refused(problem, "Write it in Unicode's form NFC."), what, way)


def _malformed(refused: _Refused, what: str, way: _Way) -> MalformedError:
    return MalformedError(what=what, where=_path(way), problem=refused.problem, mend=refused.mend)


def _path(way: _Way) -> str:
    """The way to a place as it is told, such as `body.prices[2].minor`; made only when something is refused."""
    path = ""
    for step in way:
        if isinstance(step, str) and _NAME.fullmatch(step):
            path += f".{step}" if path else step
        else:
            path += f"[{_shown(step) if isinstance(step, str) else step}]"
    return path


def _refusal(value: object) -> _Refused:
    if isinstance(value, float):
        return _FRACTION
    if isinstance(value, int):
        return _TOO_GREAT
    return _Refused(f"a value of type {type(value).__name__} has no form here", "Write it as a string.")


def _shown(text: str, most: int = 40) -> str:
    """A text in plain ASCII and short, so that a message cannot be dressed up by what it quotes."""
    return json.dumps(text if len(text) <= most else text[:most] + "...")

"""What a schema reader finds wrong with plain data, in sentences of ours that name the field and say the mend.

A reader's own words never go any further: they speak of its insides, and say no mend.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from ledger._wire import RefusedValueError
from ledger.errors import MalformedError, Problem
from ledger.rules.currencies import CurrencyError

__all__ = ["problems_of", "sentence"]

_A_LIST: Final = "{name} is a list in square brackets. Write it so."
_AN_OBJECT: Final = "{name} is an object in curly braces. Write it so."
_ONE_OF: Final = "{name} is one of these: {expected}. Write one of them."
_MISSING: Final = "{name} is missing. Give it."
_SURPLUS: Final = "There is no field {name} here. Leave it out."
_WHOLE: Final = "{name} is a whole number. Write it in digits."

_SENTENCES: Final[Mapping[str, str]] = {
    "int_type": "{name} is a whole number; neither true nor false, nor a number in quotes. Write it so.",
    "int_parsing": _WHOLE,
    "int_parsing_size": "{name} is a number that nothing here reaches. Write a smaller one.",
    "int_from_float": _WHOLE,
    "bool_type": "{name} is true or false, without quotes. Write it so.",
    "bool_parsing": "{name} is true or false. Write one of them.",
    "string_type": "{name} is a text in quotes. Write it so.",
    "tuple_type": _A_LIST,
    "list_type": _A_LIST,
    "dict_type": _AN_OBJECT,
    "dataclass_type": _AN_OBJECT,
    "model_type": _AN_OBJECT,
    "model_attributes_type": _AN_OBJECT,
    "missing": _MISSING,
    "missing_argument": _MISSING,
    "unexpected_keyword_argument": _SURPLUS,
    "extra_forbidden": _SURPLUS,
    "enum": _ONE_OF,
    "literal_error": _ONE_OF,
    "greater_than_equal": "{name} is at least {ge}. Write {ge} or more.",
    "less_than_equal": "{name} is at most {le}. Write {le} or less.",
    "string_too_long": "{name} has up to {max_length} characters. Shorten it.",
    "string_too_short": "{name} has {min_length} or more characters. Give it.",
    "too_long": "{name} has up to {max_length} items. Take some out.",
    "too_short": "{name} has {min_length} or more items. Give them.",
    "string_pattern_mismatch": "{name} is not written as it must be. Write it so that it fits {pattern}.",
    "value_error": "{name}: {error}.",
}
"""What a schema reader finds, by the name it has for it -> what to say of it."""

_OTHERWISE: Final = "{name} is not written as it must be. See what may stand here, and write it so."


def problems_of(found: Iterable[Mapping[str, Any]]) -> list[Problem]:
    """Everything a reader found, each with its field and the mend."""
    every = list(found)
    return [_problem(each) for each in every if not _only_follows(each, every)]


def sentence(name: str, found: Mapping[str, Any]) -> str:
    """One thing found, in a sentence with its mend."""
    context = dict(found.get("ctx", {}))
    if "error" in context:
        context["error"] = str(context["error"]).rstrip(".")
    return _SENTENCES.get(found["type"], _OTHERWISE).format(name=name, **context)


def _only_follows(each: Mapping[str, Any], every: list[Mapping[str, Any]]) -> bool:
    """A list counts as too short when something in it cannot be read; that is told there."""
    place = each["loc"]
    deeper = (other["loc"] for other in every if len(other["loc"]) > len(place))
    return each["type"] == "too_short" and any(other[: len(place)] == place for other in deeper)


def _problem(found: Mapping[str, Any]) -> Problem:
    field = ".".join(str(part) for part in found["loc"])
    inner = found.get("ctx", {}).get("error")
    if isinstance(inner, RefusedValueError):
        return _refused(field, inner.error)
    return Problem(field=field, sentence=sentence(str(found["loc"][-1]) if found["loc"] else "The whole", found))


def _refused(field: str, error: Exception) -> Problem:
    """A value that its own class refused, which may know the member that is wrong."""
    member = (
        "currency" if isinstance(error, CurrencyError) else error.where if isinstance(error, MalformedError) else ""
    )
    return Problem(field=f"{field}.{member}".strip("."), sentence=str(error))

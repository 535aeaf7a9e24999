"""What the schema reader finds, in sentences that name the field and say the mend."""

from typing import Any

from pydantic import ValidationError

from ledger._wire import RefusedValueError
from ledger.errors import MalformedError, Problem
from ledger.rules.currencies import CurrencyError

__all__ = ["problems", "sentence"]


def problems(error: ValidationError) -> list[Problem]:
    """Every problem found, each with its field and the mend."""
    found = [dict(each) for each in error.errors(include_url=False, include_input=False)]
    return [_problem(each) for each in found if not _only_follows(each, found)]


def _only_follows(each: dict[str, Any], found: list[dict[str, Any]]) -> bool:
    """A list counts as too short when something in it cannot be read; that is told there."""
    place = each["loc"]
    deeper = (other["loc"] for other in found if len(other["loc"]) > len(place))
    return each["type"] == "too_short" and any(other[: len(place)] == place for other in deeper)


def _problem(found: dict[str, Any]) -> Problem:
    field = ".".join(str(part) for part in found["loc"])
    inner = found.get("ctx", {}).get("error")
    if isinstance(inner, RefusedValueError):
        return _refused(field, inner.error)
    name = str(found["loc"][-1]) if found["loc"] else "the body"
    return Problem(field=field, sentence=sentence(name, found))


def _refused(field: str, error: Any) -> Problem:  # noqa: ANN401 - one of the ledger's own errors
    """A value that its own class refused, which may know the member that is wrong."""
    member = (
        "currency" if isinstance(error, CurrencyError) else error.where if isinstance(error, MalformedError) else ""
    )
    return Problem(field=f"{field}.{member}".strip("."), sentence=str(error))


_SENTENCES = {
    "int_type": "{name} is a whole number; neither true nor false, nor a number in quotes. Write it so.",
    "int_parsing": "{name} is a whole number. Write it in digits.",
    "bool_type": "{name} is true or false, without quotes. Write it so.",
    "string_type": "{name} is a text in quotes. Write it so.",
    "tuple_type": "{name} is a list in square brackets. Write it so.",
    "list_type": "{name} is a list in square brackets. Write it so.",
    "dict_type": "{name} is an object in curly braces. Write it so.",
    "dataclass_type": "{name} is an object in curly braces. Write it so.",
    "model_type": "{name} is an object in curly braces. Write it so.",
    "missing": "{name} is missing. Give it.",
    "missing_argument": "{name} is missing. Give it.",
    "unexpected_keyword_argument": "There is no field {name} here. Leave it out.",
    "extra_forbidden": "There is no field {name} here. Leave it out.",
    "enum": "{name} is one of these: {expected}. Write one of them.",
    "literal_error": "{name} is one of these: {expected}. Write one of them.",
    "greater_than_equal": "{name} is at least {ge}. Write {ge} or more.",
    "less_than_equal": "{name} is at most {le}. Write {le} or less.",
    "string_too_long": "{name} has up to {max_length} characters. Shorten it.",
    "string_too_short": "{name} has {min_length} or more characters. Give it.",
    "too_long": "{name} has up to {max_length} items. Take some out.",
    "too_short": "{name} has {min_length} or more items. Give them.",
    "string_pattern_mismatch": "{name} is not written as it must be. Write it so that it fits {pattern}.",
}
"""What the schema reader finds -> what to say of it."""


def sentence(name: str, found: dict[str, Any]) -> str:
    """One thing found, in a sentence with its mend; the reader's own words where there is no better sentence."""
    known = _SENTENCES.get(found["type"])
    words = found["msg"].removeprefix("Value error, ").rstrip(".")
    return known.format(name=name, **found.get("ctx", {})) if known else f"{name}: {words}."

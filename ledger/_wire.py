"""How a value of ours becomes text or a small object in JSON and back, for readers that collect errors per field.

A value class hands these plain mappings to whoever builds a reader from it; no reader library is imported here.
What a value refuses is bridged to `ValueError`, because such readers gather that class and no other.
"""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from ledger.proof.report import LedgerError

__all__ = ["RefusedValueError", "object_value", "text_value"]

T = TypeVar("T")
Given = TypeVar("Given")


class RefusedValueError(ValueError):
    """A value's own refusal, in the one class that readers gather; the refusal itself is kept as `error`."""

    def __init__(self, error: LedgerError) -> None:
        super().__init__(str(error))
        self.error = error


def _bridged(read: Callable[[Given], T]) -> Callable[[Given], T]:
    """Reading, with refusals of ours turned into the class that readers gather."""

    def reading(given: Given) -> T:
        try:
            return read(given)
        except LedgerError as error:
            raise RefusedValueError(error) from error

    return reading


def _value(cls: type[T], given: dict[str, Any], read: Callable[[Any], T], written: dict[str, Any]) -> dict[str, Any]:
    """From JSON only the written form is read; from Python an instance passes as it is."""
    from_json = {"type": "function-after", "function": {"type": "no-info", "function": _bridged(read)}, "schema": given}
    from_python = {
        "type": "union",
        "choices": [{"type": "is-instance", "cls": cls}, from_json],
        "mode": "left_to_right",
    }
    return {
        "type": "json-or-python",
        "json_schema": from_json,
        "python_schema": from_python,
        "serialization": {"type": "function-plain", "when_used": "json", **written},
    }


def text_value(cls: type[T], parse: Callable[[str], T], write: Callable[[T], str] = str) -> dict[str, Any]:
    """A value whose JSON form is one string, with one spelling for one meaning."""
    return _value(cls, {"type": "str", "strict": True}, parse, {"function": write, "return_schema": {"type": "str"}})


def object_value(
    cls: type[T], fields: Mapping[str, dict[str, Any]], read: Callable[[dict[str, Any]], T], write: Callable[[T], Any]
) -> dict[str, Any]:
    """A value whose JSON form is an object with exactly these fields, none left out and none added."""
    members = {name: {"type": "typed-dict-field", "schema": schema} for name, schema in fields.items()}
    given = {"type": "typed-dict", "fields": members, "total": True, "extra_behavior": "forbid"}
    return _value(cls, given, read, {"function": write})

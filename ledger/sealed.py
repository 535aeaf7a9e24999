"""A field whose salted digest is in the chain and whose value is shown only to whom the owner chooses."""

from collections.abc import Callable
from enum import StrEnum
from typing import Any, Generic, TypeVar, get_args

T = TypeVar("T")

SEALED_TEXT_MAX = 4000
"""Characters a sealed text may have; a longer story is several notes."""


class SealState(StrEnum):
    """What a reader has of a sealed field."""

    OPEN = "open"
    """The value is at hand; it may be empty."""
    WITHHELD = "withheld"
    """There is a digest and nothing else; the owner has not shown the value here."""
    ERASED = "erased"
    """Salt and value were deleted everywhere; nobody can open it again."""


class Sealed(Generic[T]):
    """A sealed field in the hands of one reader: open (perhaps empty), withheld or erased."""

    # Not a dataclass: a schema reader would look into a generic dataclass instead of asking it.
    __slots__ = ("state", "value")
    state: SealState
    value: T | None

    def __init__(self, state: SealState = SealState.OPEN, value: T | None = None) -> None:
        object.__setattr__(self, "state", state)
        object.__setattr__(self, "value", value)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"{name} of a sealed field is not changed; make a new one")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sealed) and (self.state, self.value) == (other.state, other.value)

    def __hash__(self) -> int:
        return hash((self.state, repr(self.value)))

    @classmethod
    def of(cls, value: T | None) -> "Sealed[T]":
        """The field with its value at hand; None is an empty field."""
        return cls(SealState.OPEN, value)

    @classmethod
    def withheld(cls) -> "Sealed[T]":
        """The field as somebody sees it to whom it was not shown."""
        return cls(SealState.WITHHELD)

    @classmethod
    def erased(cls) -> "Sealed[T]":
        """The field after its erasure."""
        return cls(SealState.ERASED)

    @property
    def empty(self) -> bool:
        """Open, and nothing was entered."""
        return self.state is SealState.OPEN and self.value is None

    def __str__(self) -> str:
        """The state, never the value: a log line or a trace cannot give it away."""
        return self.state.value

    def __repr__(self) -> str:
        return f"Sealed({self.state.value})"

    # A schema reader sees the plain value or null. The schema is plain data, so that this file needs no library.
    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> dict[str, Any]:  # noqa: ANN401
        inner = handler.generate_schema((get_args(source) or (Any,))[0])
        if inner["type"] == "str":
            inner = {**inner, "max_length": SEALED_TEXT_MAX}
        nullable = {"type": "nullable", "schema": inner}
        return {
            "type": "function-after",
            "function": {"type": "no-info", "function": cls.of},
            "schema": nullable,
            "serialization": {
                "type": "function-plain",
                "function": _value_or_none,
                "return_schema": nullable,
            },
        }

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: Callable[[Any], dict[str, Any]]) -> dict[str, Any]:  # noqa: ANN401
        return handler(schema["schema"])


def _value_or_none(sealed: Sealed[Any]) -> object:
    return sealed.value

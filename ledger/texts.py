"""Texts by key, as a file of words has them; one that counts has two forms, `{"one": …, "many": …}`."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

__all__ = ["Counted", "flattened"]

_FORMS: Final = frozenset({"one", "many"})


@dataclass(frozen=True)
class Counted:
    """A text that depends on a count."""

    one: str
    many: str

    def of(self, count: int) -> str:
        """One for exactly one, many for all else, none included."""
        return self.one if count == 1 else self.many


def flattened(key: str, value: object) -> Iterator[tuple[str, str | Counted]]:
    """Every text with its whole key, the names on the way parted by points.

    Raises: ValueError for what is neither a text, nor two forms, nor more keys.
    """
    match value:
        case str():
            yield key, value
        case {"one": str(one), "many": str(many), **more} if not more:
            yield key, Counted(one, many)
        case dict() if value and not _FORMS & value.keys():
            for name, inner in value.items():
                yield from flattened(f"{key}.{name}" if key else name, inner)
        case _:
            raise ValueError(f"{key}: a text, two forms (one, many), or more keys; not {value!r}")

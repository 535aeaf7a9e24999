"""The words of a record: read once from the file beside it, asked for by key, filled in with values.

They are the ledger's own and not the pages', for a record is read where there are no pages.
"""

import json
from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import Final

__all__ = ["FILE", "Wording", "t"]

FILE: Final = Path(__file__).parent / "words.json"
Forms = tuple[str, str]
"""Of a text that counts: for one, and for all else."""


class Wording:
    """Texts by key.

    Raises: KeyError for a key or a value that is not there; a record never shows a hole.
    """

    @cached_property
    def texts(self) -> Mapping[str, str | Forms]:
        """Every key with its text."""
        return dict(_flat("", json.loads(FILE.read_text("utf-8"))))

    def __call__(self, key: str, **values: object) -> str:
        """The text of a key, with its values in it."""
        text = self.texts[key]
        if isinstance(text, tuple):
            raise KeyError(f"{key} counts: ask for it with a count")
        return text.format(**values)

    def n(self, key: str, count: int, /, **values: object) -> str:
        """The text of a key that counts: one form for exactly one, and one for all else."""
        text = self.texts[key]
        if not isinstance(text, tuple):
            raise KeyError(f"{key} does not count: ask for it without a count")
        return text[count != 1].format(count=f"{count:,}", **values)


def _flat(key: str, value: object) -> Iterator[tuple[str, str | Forms]]:
    match value:
        case str():
            yield key, value
        case {"one": str(one), "many": str(many)}:
            yield key, (one, many)
        case dict():
            for name, inner in value.items():
                yield from _flat(f"{key}.{name}" if key else name, inner)
        case _:
            raise ValueError(f"{key}: a text, two forms (one, many), or more keys; not {value!r}")


t = Wording()
"""The words of every record."""

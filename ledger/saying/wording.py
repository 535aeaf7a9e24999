"""The words of a record and of a catalogue: read once from the file beside it, asked for by key, filled in with values.

They are the ledger's own and not the pages', for both are read where there are no pages.
"""

import json
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import Final

from ledger.texts import Counted, flattened

__all__ = ["FILE", "LANG", "Wording", "t"]

FILE: Final = Path(__file__).parent / "words.json"
LANG: Final = "en"
"""The language they are in."""


class Wording:
    """Texts by key.

    Raises: KeyError for a key or a value that is not there; paper never shows a hole.
    """

    @cached_property
    def texts(self) -> Mapping[str, str | Counted]:
        """Every key with its text."""
        return dict(flattened("", json.loads(FILE.read_text("utf-8"))))

    def __call__(self, key: str, **values: object) -> str:
        """The text of a key, with its values in it."""
        text = self.texts[key]
        if isinstance(text, Counted):
            raise KeyError(f"{key} counts: ask for it with a count")
        return text.format(**values)

    def n(self, key: str, count: int, /, **values: object) -> str:
        """The text of a key that counts: one form for exactly one, and one for all else."""
        text = self.texts[key]
        if not isinstance(text, Counted):
            raise KeyError(f"{key} does not count: ask for it without a count")
        return text.of(count).format(count=f"{count:,}", **values)


t = Wording()
"""The words of every record, and of every catalogue."""

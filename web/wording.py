"""The words of the pages: read once from the files in `words/`, asked for by key, filled in with values.

A file is one area of the pages, `collection.json` holds the keys `collection.…`; so no two areas can take each other's.
A text that counts has two forms, `{"one": …, "many": …}`.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from types import MappingProxyType

from jinja2.filters import do_forceescape

from ledger.texts import Counted, flattened

__all__ = ["FOLDER", "Counted", "Words", "t"]

FOLDER = Path(__file__).parent / "words"


@dataclass(frozen=True)
class Words:
    """Texts by key.

    Raises: KeyError for a key or a value that is not there; a page never shows a hole.
    """

    folder: Path
    lang: str = "en"

    @cached_property
    def texts(self) -> Mapping[str, str | Counted]:
        """Every key with its text; read at the first question."""
        files = sorted(self.folder.glob("*.json"))
        found = {key: text for file in files for key, text in flattened(file.stem, json.loads(file.read_text("utf-8")))}
        return MappingProxyType(found)

    def __call__(self, key: str, **values: object) -> str:
        """The text of a key, with its values; markup among the values stays, everything else is escaped beside it."""
        text = self.texts[key]
        if isinstance(text, Counted):
            raise KeyError(f"{key} counts: ask for it with a count")
        return _filled(text, values)

    def n(self, key: str, count: int, /, **values: object) -> str:
        """The text of a key that counts: "one" for exactly one, "many" for all else, none included."""
        text = self.texts[key]
        if not isinstance(text, Counted):
            raise KeyError(f"{key} does not count: ask for it without a count")
        return _filled(text.of(count), {"count": f"{count:,}", **values})


def _filled(text: str, values: Mapping[str, object]) -> str:
    if not values and "{" not in text:
        return text
    if any(hasattr(value, "__html__") for value in values.values()):
        return do_forceescape(text).format(**values)
    return text.format(**values)


t = Words(FOLDER)
"""The words of this program, for templates and for what a page says in Python."""

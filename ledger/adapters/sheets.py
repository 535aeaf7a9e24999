"""Sheets of paper as PDF, set by typst: one outside library, asked for only when a sheet is made."""

import json
import re
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from ledger.errors import ConflictError
from ledger.proof.canonical import Plain

__all__ = ["LETTERS", "STANDARDS", "WITH_FILES", "TypstSheets", "writable"]

STANDARDS: Final = ("a-2a", "ua-1")
"""A PDF that can be kept and read out. Source: ISO 19005-2, level A; ISO 14289-1."""
WITH_FILES: Final = ("a-3a", "ua-1")
"""The same, with files in it. Source: ISO 19005-3, level A."""
LETTERS: Final = (
    (0x20, 0x7E), (0xA0, 0xAC), (0xAE, 0x24F), (0x300, 0x36F), (0x384, 0x38A), (0x38E, 0x3A1), (0x3A3, 0x3CE),
    (0x400, 0x45F), (0x1E00, 0x1EFF), (0x2010, 0x2027), (0x2030, 0x2037), (0x2039, 0x203A), (0x20AC, 0x20AC),
    (0x2116, 0x2116), (0x2122, 0x2122), (0x2153, 0x215E), (0x2190, 0x21FF), (0x2212, 0x2212), (0x2500, 0x25FF),
)  # fmt: skip
"""First and last of the letters that typst's own fonts can show; a lasting PDF may have none that they lack."""
ONE_WORD = 34
"""A longer run without a space may be broken anywhere."""
MAY_BREAK = "\u200b"
_SPACE = re.compile(r"\s+")
_LONG = re.compile(rf"[^\s{MAY_BREAK}]{{{ONE_WORD}}}(?=\S)")


class TypstSheets:
    """Makes sheets, where typst is installed.

    Keeps: the same source, data and pictures give the same bytes. Data is read as data and never as markup. No font of
    this machine and nothing from a network comes in.
    """

    @property
    def at_hand(self) -> bool:
        """Whether it is installed."""
        return find_spec("typst") is not None

    def pdf(
        self,
        source: str,
        data: Mapping[str, Plain],
        pictures: Mapping[str, bytes],
        made: datetime,
        *,
        attaches: bool = False,
    ) -> bytes:
        """The sheet: its source finds the data in `data.json` and the pictures under their names beside it.

        With `attaches` the source may take any of them into the PDF as a file of its own.

        Requires: an aware moment; names of pictures that are file names.
        Raises: ConflictError, where typst is not installed.
        """
        if not self.at_hand:
            raise ConflictError(sentence="What makes a PDF is not installed here. Print the page instead.")
        import typst  # noqa: PLC0415 - it is an extra, and large

        with TemporaryDirectory(prefix="slipsheet-") as folder:
            root = Path(folder)
            for name, picture in pictures.items():
                (root / name).write_bytes(picture)
            (root / "data.json").write_text(json.dumps(writable(dict(data)), ensure_ascii=False), "utf-8")
            main = root / "main.typ"
            main.write_text(source, "utf-8")
            made_of = typst.compile(
                main,
                root=root,
                format="pdf",
                font_paths=_fonts(),
                ignore_system_fonts=True,
                package_path=root,
                package_cache_path=root,
                pdf_standards=list(WITH_FILES if attaches else STANDARDS),
                timestamp=int(made.timestamp()),
            )
        assert isinstance(made_of, bytes)
        return made_of


def writable(value: Any) -> Any:  # noqa: ANN401
    """Plain data with every text in letters that can be shown: any other stands as its number, such as [U+6F22]."""
    match value:
        case str():
            shown = "".join(each if _can_be_shown(each) else f"[U+{ord(each):04X}]" for each in _SPACE.sub(" ", value))
            return _LONG.sub(lambda run: run[0] + MAY_BREAK, shown)
        case dict():
            return {key: writable(each) for key, each in value.items()}
        case list() | tuple():
            return [writable(each) for each in value]
        case _:
            return value


def _can_be_shown(letter: str) -> bool:
    return any(first <= ord(letter) <= last for first, last in LETTERS)


@cache
def _fonts() -> Any:  # noqa: ANN401
    """The fonts that come with typst, read once."""
    import typst  # noqa: PLC0415

    return typst.Fonts(include_system_fonts=False)

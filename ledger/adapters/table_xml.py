"""The XML inside a spreadsheet, read piece by piece: no document type, no entity, no cell or mark without an end.

Source: XML 1.0 (W3C); the names of elements are those of ECMA-376 part 1 section 18.3.
"""

import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from typing import Final
from xml.parsers import expat

from ledger.importing.tables import CELL_MOST, COLUMNS_MOST, ROWS_MOST, refused

__all__ = ["Cell", "Merged", "elements", "merged", "rows", "strings", "whole"]

PIECE: Final = 64 * 1024
MARK_MOST: Final = 1024 * 1024
"""Bytes between two marks that the reader understood; beyond it something in the file has no end."""
STRINGS_MOST: Final = 128 * 1024 * 1024
"""Characters of all shared texts together."""
MERGED_MOST: Final = 20_000
"""Cells of a sheet that may be merged over several rows or columns. Our assumption."""
_DEPTH_MOST: Final = 64
_LETTERS: Final = 26
_MERGE: Final = "mergeCell"
_PLACES: Final = re.compile(
    r"\$?(?P<column>[A-Z]{1,3})\$?(?P<first>[0-9]{1,7})(?::\$?[A-Z]{1,3}\$?(?P<last>[0-9]{1,7}))?"
)
_AGAIN: Final = "Open it in a spreadsheet program and save it anew as XLSX, or as CSV."
_DIGITS_MOST: Final = 9

Cell = tuple[int, str, int, str, str]
"""Its column from 0, its type, its style, its value, and its formula."""
Merged = tuple[int, int, int]
"""A cell that is merged over several rows: its first row, its last, and its column from 0."""


def whole(text: str) -> int:
    """A whole number; -1 for what is none."""
    return int(text) if text.isdecimal() and text.isascii() and len(text) <= _DIGITS_MOST else -1


def _bytes_of(archive: zipfile.ZipFile, name: str) -> Iterator[bytes]:
    """One entry of an archive, piece by piece."""
    try:
        with archive.open(name) as file:
            while piece := file.read(PIECE):
                yield piece
    except (zipfile.BadZipFile, zlib.error, EOFError, KeyError, RuntimeError, ValueError) as error:
        raise refused(f"its part {name} cannot be read", _AGAIN) from error


class _Reader:
    """Feeds one entry of an archive to a parser; a subclass says what is done with it."""

    def __init__(self) -> None:
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartDoctypeDeclHandler = self._refuse
        self._parser.EntityDeclHandler = self._refuse
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._text
        self.path: list[str] = []

    def pieces(self, archive: zipfile.ZipFile, name: str) -> Iterator[None]:
        """The entry, piece by piece; after each, what was understood can be taken.

        Raises: MalformedError.
        """
        fed = 0
        try:
            for piece in _bytes_of(archive, name):
                fed += len(piece)
                self._parser.Parse(piece, False)  # noqa: FBT003 - the signature of the parser
                if fed - self._parser.CurrentByteIndex > MARK_MOST:
                    raise refused("something in it has no end", _AGAIN)
                yield
            self._parser.Parse(b"", True)  # noqa: FBT003 - as above
            yield
        except expat.ExpatError as error:
            raise refused(f"its part {name} cannot be read", _AGAIN) from error
        except (RuntimeError, ValueError) as error:
            raise refused(f"its part {name} is not what a spreadsheet has there", _AGAIN) from error

    def started(self, name: str, said: Mapping[str, str]) -> None:
        """An element begins."""

    def ended(self, name: str) -> None:
        """An element ends; it still stands in the path."""

    def text(self, text: str) -> None:
        """Text inside the element that is open."""

    def _start(self, name: str, said: dict[str, str]) -> None:
        own = name.rpartition(":")[2]
        if len(self.path) >= _DEPTH_MOST:
            raise refused("its parts lie too deep in one another", _AGAIN)
        self.path.append(own)
        self.started(own, said)

    def _end(self, name: str) -> None:
        self.ended(name.rpartition(":")[2])
        self.path.pop()

    def _text(self, text: str) -> None:
        self.text(text)

    def _refuse(self, *_: object) -> None:
        raise refused("it declares what no spreadsheet declares", _AGAIN)


class _Elements(_Reader):
    def __init__(self, names: tuple[str, ...], within: str) -> None:
        super().__init__()
        self._names, self._within = names, within
        self.found: list[tuple[str, dict[str, str]]] = []

    def started(self, name: str, said: Mapping[str, str]) -> None:
        if name in self._names and (name != "xf" or self._within in self.path):
            self.found.append((name, {key.rpartition(":")[2]: value for key, value in said.items()}))
            if len(self.found) > ROWS_MOST:
                raise refused("it has more parts than any spreadsheet", _AGAIN)


class _Strings(_Reader):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._parts: list[str] = []
        self._held = 0
        self._all = 0

    def started(self, name: str, said: Mapping[str, str]) -> None:  # noqa: ARG002 - as of every reader
        if name == "si":
            self._parts, self._held = [], 0

    def text(self, text: str) -> None:
        # What stands in rPh is how a text is spoken, and no part of it.
        if self.path and self.path[-1] == "t" and "rPh" not in self.path:
            self._parts.append(text)
            self._held += len(text)
            self._all += len(text)
            if self._held > CELL_MOST:
                raise refused(f"one of its cells has more than {CELL_MOST:,} characters", "Shorten it.")
            if self._all > STRINGS_MOST:
                raise refused("it holds more text than may be taken at once", "Send it in parts.")

    def ended(self, name: str) -> None:
        if name == "si":
            self.found.append("".join(self._parts))


class _Rows(_Reader):
    """Keeps: of a row only its cells that say something; a row without a number is the one after the last."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[int, list[Cell]]] = []
        self._number = 0
        self._cells: list[Cell] = []
        self._column = -1
        self._said: Mapping[str, str] = {}
        self._parts: dict[str, list[str]] = {}
        self._held = 0
        self._is_worked_out = False

    def started(self, name: str, said: Mapping[str, str]) -> None:
        if name == "row":
            self._number = max(whole(said.get("r", "")), self._number + 1)
            self._cells, self._column = [], -1
        elif name == "c":
            before, self._column = self._column, _column(said["r"]) if "r" in said else self._column + 1
            if self._column <= before:
                raise refused(f"the cells of row {self._number} do not stand in their order", _AGAIN)
            self._said, self._parts, self._held = said, {"v": [], "f": [], "t": []}, 0
            self._is_worked_out = False
        elif name == "v":
            self._is_worked_out = True

    def text(self, text: str) -> None:
        where = self.path[-1] if self.path else ""
        if where in self._parts and "c" in self.path and "rPh" not in self.path:
            self._parts[where].append(text)
            self._held += len(text)
            if self._held > CELL_MOST:
                sentence = f"a cell in row {self._number} has more than {CELL_MOST:,} characters"
                raise refused(sentence, "Shorten it.")

    def ended(self, name: str) -> None:
        if name == "c":
            value = "".join(self._parts["v"]) or "".join(self._parts["t"])
            # A formula that came to an empty text says nothing; any other without a value was never worked out.
            is_empty = self._is_worked_out and not value and self._said.get("t") == "str"
            formula = "" if is_empty else "".join(self._parts["f"])
            if value or formula:
                if self._column >= COLUMNS_MOST:
                    sentence = (
                        f"row {self._number} has a cell in column {self._column + 1:,} and there may be {COLUMNS_MOST}"
                    )
                    raise refused(sentence, "Leave out columns that say nothing of a book.")
                kind, style = self._said.get("t", ""), whole(self._said.get("s", "0"))
                self._cells.append((self._column, kind, style, value, formula))
        elif name == "row" and self._cells:
            self.found.append((self._number, self._cells))


class _Merges(_Reader):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[Merged] = []
        self._count = 0

    def started(self, name: str, said: Mapping[str, str]) -> None:
        if name != "mergeCell":
            return
        self._count += 1
        if self._count > MERGED_MOST:
            raise refused(
                f"more than {MERGED_MOST:,} of its cells are merged", "Take the merging away, and save it again."
            )
        found = _PLACES.fullmatch(said.get("ref", ""))
        if found is None:
            raise refused("a merged cell of it has no place", _AGAIN)
        first, last = int(found["first"]), int(found["last"] or found["first"])
        if first < last:
            self.found.append((first, last, _column(found["column"])))


def merged(archive: zipfile.ZipFile, name: str) -> list[Merged]:
    """The cells of a sheet that are merged over several rows, in the order of their first rows.

    They are told behind the rows; a sheet without any is only looked through for the word, which costs no parsing.
    Raises: MalformedError.
    """
    if not _has_word(archive, name):
        return []
    reader = _Merges()
    for _ in reader.pieces(archive, name):
        pass
    return sorted(reader.found)


def _has_word(archive: zipfile.ZipFile, name: str) -> bool:
    words = [_MERGE.encode(codec) for codec in ("utf-8", "utf-16-le", "utf-16-be")]
    before = b""
    for piece in _bytes_of(archive, name):
        here = before + piece
        if any(word in here for word in words):
            return True
        before = here[-2 * len(_MERGE) :]
    return False


def elements(
    archive: zipfile.ZipFile, name: str, names: tuple[str, ...], within: str = ""
) -> list[tuple[str, dict[str, str]]]:
    """Every element of these names with what it says; of formats only those in `within`.

    Raises: MalformedError.
    """
    reader = _Elements(names, within)
    for _ in reader.pieces(archive, name):
        pass
    return reader.found


def strings(archive: zipfile.ZipFile, name: str) -> list[str]:
    """The texts that cells share, by their number.

    Raises: MalformedError.
    """
    reader = _Strings()
    for _ in reader.pieces(archive, name):
        pass
    return reader.found


def rows(archive: zipfile.ZipFile, name: str) -> Iterator[tuple[int, list[Cell]]]:
    """The rows of a sheet that have a cell, as they come.

    Raises: MalformedError.
    """
    reader = _Rows()
    for _ in reader.pieces(archive, name):
        yield from reader.found
        reader.found.clear()


def _column(at: str) -> int:
    """The column that a cell's place names, from 0: A is 0 and AA is 26; -1 where it names none."""
    number = 0
    for sign in at.rstrip("0123456789")[:4]:
        if not ("A" <= sign <= "Z"):
            return -1
        number = number * _LETTERS + ord(sign) - ord("A") + 1
    return number - 1

"""Tables on their way in: read once with all their limits, then kept row by row in a folder beside the photographs."""

import json
import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Final, TextIO

from ledger.adapters.folders import make_folder
from ledger.adapters.table_text import read_text
from ledger.adapters.table_xlsx import is_xlsx, read_xlsx
from ledger.errors import NotFoundError
from ledger.importing.runs import Runs
from ledger.importing.tables import BYTES_MOST, KEPT_MOST, Row, TableAsked, TableFacts, need_row, refused

__all__ = ["FileTables", "read_whole"]

_NAME: Final = re.compile(r"[0-9a-z]{1,40}")
_KEPT, _COMING = ".rows", ".part"


class FileTables:
    """As `importing.tables.Tables`: one file of lines a table, each line a row's number and its cells as JSON."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.runs = Runs()

    def keep(self, name: str, data: bytes, asked: TableAsked) -> TableFacts:
        """What the table is, after all of its rows were read and kept.

        Raises: MalformedError.
        """
        kept = self._path(name)
        coming = kept.with_suffix(_COMING)
        make_folder(self.folder)
        try:
            with coming.open("w", encoding="utf-8") as file:
                facts = read_whole(data, asked, lambda number, cells: _say(file, number, cells))
            coming.replace(kept)
        finally:
            coming.unlink(missing_ok=True)
        return facts

    def rows(self, name: str) -> Iterator[Row]:
        """Every row that is not empty, as they come.

        Raises: NotFoundError.
        """
        with self._open(name) as file:
            for line in file:
                number, cells = json.loads(line)
                yield number, cells

    def picked(self, name: str, numbers: Collection[int]) -> dict[int, list[str]]:
        """The rows of these numbers that are there.

        Raises: NotFoundError.
        """
        wanted = {f"[{number}": number for number in numbers}
        found: dict[int, list[str]] = {}
        with self._open(name) as file:
            for line in file:
                if wanted and line[: line.find(",")] in wanted:
                    number, cells = json.loads(line)
                    found[number] = cells
        return found

    def here(self, name: str) -> bool:
        """Its rows are kept in this folder."""
        return self._path(name).exists()

    def drop(self, name: str) -> None:
        """It is no longer kept; a second time changes nothing."""
        self._path(name).unlink(missing_ok=True)

    def drop_all(self) -> None:
        """Nothing is kept any more."""
        for path in [*self.folder.glob(f"*{_KEPT}"), *self.folder.glob(f"*{_COMING}")]:
            path.unlink(missing_ok=True)

    def _open(self, name: str) -> TextIO:
        try:
            return self._path(name).open(encoding="utf-8")
        except FileNotFoundError as error:
            raise NotFoundError(what="table on its way in", name=name) from error

    def _path(self, name: str) -> Path:
        if not _NAME.fullmatch(name):
            raise NotFoundError(what="table on its way in", name=name)
        return self.folder / f"{name}{_KEPT}"


def read_whole(data: bytes, asked: TableAsked, take: Callable[[int, list[str]], object]) -> TableFacts:
    """What the table is, after each of its rows was held against the limits and taken.

    Raises: MalformedError.
    """
    if len(data) > BYTES_MOST:
        raise refused(f"it has more than {BYTES_MOST // 1024 // 1024} MB", "Send it in parts.")
    if not data.strip():
        raise refused("it is empty", "Choose one with rows in it.")
    facts = TableFacts(sha256=sha256(data).hexdigest(), kind="text")
    if is_xlsx(data):
        sheet, sheets, rows = read_xlsx(data, asked.sheet)
        facts = replace(facts, kind="XLSX", sheet=sheet, sheets=sheets)
    else:
        encoding, mark, rows = read_text(data, asked)
        facts = replace(facts, encoding=encoding, mark=mark)
    count = width = held = 0
    for number, cells in rows:
        count, width, held = count + 1, max(width, len(cells)), held + sum(map(len, cells))
        need_row(number, cells, count)
        if held > KEPT_MOST:
            raise refused("it holds more text than may be taken at once", "Send it in parts.")
        take(number, cells)
    if not count:
        raise refused("there is no row in it", "Choose one with rows in it.")
    return replace(facts, rows=count, width=width)


def _say(file: TextIO, number: int, cells: list[str]) -> None:
    file.write(json.dumps([number, cells], ensure_ascii=True) + "\n")

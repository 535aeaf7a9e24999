"""A sheet of sections as a table: one line for each fact, so that nothing of it is lost in a spreadsheet."""

from collections.abc import Iterator, Sequence

from ledger.spreadsheet_cells import written_sheet
from web.report_parts import Facts, Photographs, Section, Table, Words

__all__ = ["HEAD", "sections_csv"]

HEAD = ("part", "of", "name", "value")


def sections_csv(sections: Sequence[Section]) -> str:
    """Each fact with its part; of a table each cell, named by its row and its column."""
    return written_sheet([HEAD, *_rows(sections)])


def _rows(sections: Sequence[Section]) -> Iterator[tuple[str, str, str, str]]:
    for section in sections:
        for block in section.blocks:
            match block:
                case Facts():
                    yield from ((section.title, block.title, name, value) for name, value in block.rows)
                case Table():
                    for row in block.rows:
                        cells = zip(block.head[1:], row[1:], strict=True)
                        yield from ((section.title, row[0], name, value) for name, value in cells)
                case Words():
                    yield from ((section.title, block.title, "", line) for line in block.lines)
                case Photographs():
                    for each in block.shown:
                        yield from ((section.title, each.alt, name, value) for name, value in each.rows)

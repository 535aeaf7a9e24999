"""The lines of a logger's file, from its bytes as they come: several encodings, and limits that are told."""

import codecs
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from ledger.errors import MalformedError

__all__ = ["FILE_MOST", "LINE_MOST", "Chunks", "LoggerFileError", "chunks_of", "text_lines"]

FILE_MOST: Final = 64 * 2**20
"""Units: bytes. A reading a minute of two years fits in."""
LINE_MOST: Final = 8192
"""Units: characters."""
_PIECE: Final = 2**16
_UTF_16: Final = {codecs.BOM_UTF16_LE: "utf-16-le", codecs.BOM_UTF16_BE: "utf-16-be"}

Chunks = Callable[[], Iterable[bytes]]
"""The bytes of one file in pieces, from the start each time it is asked."""


@dataclass(eq=False, kw_only=True)
class LoggerFileError(MalformedError):
    """A file from which no climate can be read; nothing of it is kept."""

    what: str = "Climate file"


def chunks_of(data: bytes) -> Chunks:
    """The pieces of a file that is at hand."""
    view = memoryview(data)
    return lambda: (bytes(view[start : start + _PIECE]) for start in range(0, len(data), _PIECE))


def text_lines(chunks: Iterable[bytes]) -> Iterator[str]:
    """Line after line without its end; no more than a piece of the file is held.

    UTF-8 with or without its mark, UTF-16 with it; a piece that is not UTF-8 is taken as Windows-1252.
    Raises: LoggerFileError for too many bytes, a line too long, or bytes that are no text.
    """
    number = 0
    for block in _blocks(_counted(chunks)):
        for line in block.splitlines():
            number += 1
            if len(line) > LINE_MOST:
                raise LoggerFileError(
                    where=f"line {number}",
                    problem=f"the line has more than {LINE_MOST} characters",
                    mend="Export it as a table of readings, one reading a line.",
                )
            yield line


def _counted(chunks: Iterable[bytes]) -> Iterator[bytes]:
    size = 0
    for chunk in chunks:
        size += len(chunk)
        if size > FILE_MOST:
            problem = f"it has more than {FILE_MOST // 2**20} MiB"
            raise LoggerFileError(problem=problem, mend="Export a shorter time, and take in one file after another.")
        yield chunk


def _blocks(chunks: Iterable[bytes]) -> Iterator[str]:
    """Whole lines, several at a time."""
    left = iter(chunks)
    first = next(left, b"")
    if found := _UTF_16.get(first[:2]):
        yield from _wide(first[2:], left, codecs.getincrementaldecoder(found)(errors="replace"))
        return
    rest = first.removeprefix(codecs.BOM_UTF8)
    while True:
        if b"\0" in rest:
            problem = "there are zero bytes in it, so it is no text"
            raise LoggerFileError(problem=problem, mend="Export it as CSV from the logger's own program.")
        cut = _last_end(rest)
        if cut:
            yield _decoded(rest[:cut])
            rest = rest[cut:]
        _refuse_endless(len(rest) // 4)
        chunk = next(left, None)
        if chunk is None:
            break
        rest += chunk
    if rest:
        yield _decoded(rest)


def _wide(first: bytes, left: Iterator[bytes], decoder: codecs.IncrementalDecoder) -> Iterator[str]:
    rest = decoder.decode(first)
    for chunk in left:
        cut = rest.rfind("\n") + 1
        if cut:
            yield rest[:cut]
        rest = rest[cut:]
        _refuse_endless(len(rest))
        rest += decoder.decode(chunk)
    yield rest + decoder.decode(b"", final=True)


def _last_end(data: bytes) -> int:
    """Behind the last end of a line; a carriage return alone ends one too, where no line feed does."""
    cut = data.rfind(b"\n") + 1
    return cut or data.rfind(b"\r", 0, len(data) - 1) + 1


def _decoded(block: bytes) -> str:
    try:
        return block.decode()
    except UnicodeDecodeError:
        return block.decode("cp1252", errors="replace")


def _refuse_endless(characters: int) -> None:
    if characters > LINE_MOST + _PIECE:
        problem = f"a line has more than {LINE_MOST} characters"
        raise LoggerFileError(problem=problem, mend="Export it as a table of readings, one reading a line.")

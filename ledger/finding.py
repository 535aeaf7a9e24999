"""What a search of everything looks through: every text of a book's entries as they count now, and the words of each."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import Field, dataclass, fields, is_dataclass
from functools import cache
from typing import Any, Final

from ledger.events import Event
from ledger.events._base import NotUnderstood
from ledger.events.correction import Correction
from ledger.folding import folded
from ledger.mended import Moment
from ledger.money import Money
from ledger.rules.defects import defect_types
from ledger.rules.grades import Grade
from ledger.rules.techniques import techniques
from ledger.sealed import Sealed
from ledger.when import When

__all__ = ["WORD_MOST", "Said", "all_words", "asked_words", "pieces", "said_in", "words_in"]

WORD_MOST: Final = 64
"""Characters of a word that are looked at; two longer ones that begin alike are taken for the same."""

_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_PART: Final = re.compile(r"[^\W_]+(?:[./](?<=\d.)(?=\d)\d+)*")
"""A run of letters and digits; a number keeps its point and its stroke, as in 9.2 and 1/2."""
_EDGES: Final = re.compile(r"^\W+|\W+$")


@dataclass(frozen=True)
class Said:
    """One text of a book: the entry it stands in, what that entry and its field are called, and the text itself."""

    entry: int
    kind: str
    event: str
    field: str
    text: str


def said_in(moments: Sequence[Moment]) -> Iterator[Said]:
    """Every text that is at hand of the entries in force, each entry as its corrections leave it.

    Keeps: a sealed value that was erased or is withheld is no text.
    """
    for moment in moments:
        event = moment.event
        if not moment.in_force or isinstance(event, NotUnderstood):
            continue
        for field, text in _texts(event):
            yield Said(moment.entry.seq, event.kind, event.title, field, text)


def all_words(moments: Sequence[Moment]) -> tuple[str, ...]:
    """Every word by which a book is found, each once, in the order of their letters."""
    return tuple(sorted({word for said in said_in(moments) for word in words_in(said.text)}))


def words_in(text: str) -> set[str]:
    """The words of a text as a search sees them: what stands between spaces, and the runs of letters and digits in it."""
    found: set[str] = set()
    for chunk in folded(text).split():
        if chunk.isalnum():  # most are: one run, with nothing at its edges
            found.add(chunk[:WORD_MOST])
            continue
        found.add(_EDGES.sub("", chunk)[:WORD_MOST])
        found.update(part[:WORD_MOST] for part in _PART.findall(chunk))
    return found - {""}


def asked_words(text: str) -> list[str]:
    """The words that are asked for, each once, in their order."""
    chunks = (_EDGES.sub("", chunk)[:WORD_MOST] for chunk in folded(text).split())
    return [each for each in dict.fromkeys(chunks) if each]


def pieces(text: str, is_marked: Callable[[str], bool]) -> list[tuple[str, bool]]:
    """A text in pieces that come to the whole of it, each with whether it is one of the words that are marked."""
    found: list[tuple[str, bool]] = []
    behind = 0
    for start, end in _marked(text, is_marked):
        found += [(text[behind:start], False), (text[start:end], True)]
        behind = end
    return [each for each in (*found, (text[behind:], False)) if each[0]]


def _marked(text: str, is_marked: Callable[[str], bool]) -> Iterator[tuple[int, int]]:
    for chunk in re.finditer(r"\S+", text):
        core = _EDGES.sub("", chunk[0])
        if is_marked(_EDGES.sub("", folded(core))[:WORD_MOST]):
            start = chunk.start() + chunk[0].index(core)
            yield start, start + len(core)
            continue
        for part in _PART.finditer(chunk[0]):
            if is_marked(folded(part[0])[:WORD_MOST]):
                yield chunk.start() + part.start(), chunk.start() + part.end()


def _texts(event: Event) -> Iterator[tuple[str, str]]:
    """Each text with what its field is called."""
    for each in _fields(type(event)):
        # What a correction changes is told where it counts, in the entry that is corrected.
        value = getattr(event, each.name)
        if value is not None and not (isinstance(event, Correction) and each.name == "changes"):
            yield from _within(value, each.metadata, each.name)


def _within(value: Any, metadata: Mapping[str, Any], outer: str) -> Iterator[tuple[str, str]]:  # noqa: ANN401
    """Texts a person would look for; no measure, date or grade, no choice from a list, no digest."""
    value = value.value if isinstance(value, Sealed) else value
    if value is None:
        return
    title = str(metadata.get("title", outer))
    if "unit" in metadata.get("json_schema_extra", {}):
        return
    if type(value) is str:
        if not _DIGEST.fullmatch(value):
            yield title, _titles().get(value, value)
    elif isinstance(value, Money):
        yield title, str(value)
    elif isinstance(value, tuple | list):
        for each in value:
            yield from _within(each, {}, title)
    elif not isinstance(value, Grade | When):
        for part in _fields(type(value)):
            yield from _within(getattr(value, part.name), part.metadata, title)


_FIELDS: Final[dict[type, "tuple[Field[Any], ...]"]] = {}


def _fields(kind: type) -> "tuple[Field[Any], ...]":
    """What a dataclass is made of, of any other type nothing; looked up once."""
    found = _FIELDS.get(kind)
    if found is None:
        found = _FIELDS[kind] = fields(kind) if is_dataclass(kind) else ()
    return found


@cache
def _titles() -> Mapping[str, str]:
    """What the ids of defects and techniques are called."""
    return {each.id: each.title for each in defect_types()} | {each.id: each.title for each in techniques()}

"""Where tables on their way in are kept: their rows as files, what is known of them and of their sources beside the ledger."""

from collections.abc import Callable, Sequence
from hashlib import sha256
from typing import Final

from ledger.actor import Actor, Permission
from ledger.care import CareReader, CareRow, CareStore, CareWriter, Drawer
from ledger.errors import ConflictError, NotFoundError
from ledger.importing.begun import Begun, Source, begun_of, plain_begun, plain_source, source_of
from ledger.importing.tables import Tables
from ledger.ports import Ledger

__all__ = [
    "all_begun",
    "change",
    "keep_begun",
    "likely_source",
    "look_at_import",
    "open_import",
    "put_away_lost",
    "remember",
    "remembered",
    "sources_in",
    "tables_of",
    "take_begun",
]

_BEGUN: Final = "import/"
_SOURCE: Final = "import-source/"
_WHAT: Final = "table on its way in"


def tables_of(ledger: Ledger) -> Tables:
    """Where rows wait.

    Raises: ConflictError.
    """
    if ledger.tables is None:
        raise ConflictError(sentence="Nothing can be brought in where the ledger is only read.")
    return ledger.tables


def care_of(ledger: Ledger) -> CareStore:
    """Where it is kept what is known of them.

    Raises: ConflictError.
    """
    if ledger.care is None:
        raise ConflictError(sentence="Nothing can be brought in where the ledger is only read.")
    return ledger.care


def all_begun(reader: CareReader) -> list[Begun]:
    """All of them, the oldest first; one that was tampered with is passed over."""
    found = (_begun(row) for row in reader.rows(Drawer.CARE, _BEGUN))
    return [each for each in found if each is not None]


def look_at_import(ledger: Ledger, actor: Actor, own: str) -> Begun:
    """One of them.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)
    with care_of(ledger).read() as reader:
        row = reader.row(Drawer.CARE, f"{_BEGUN}{own}")
    begun = None if row is None else _begun(row)
    if begun is None:
        raise NotFoundError(what=_WHAT, name=own)
    return begun


def open_import(ledger: Ledger, actor: Actor, own: str) -> Begun:
    """One that is not done.

    Raises: NotFoundError, ConflictError.
    """
    begun = look_at_import(ledger, actor, own)
    if begun.done is not None:
        raise ConflictError(
            sentence="This table was brought in already. To bring in more of it, choose its file again."
        )
    return begun


def keep_begun(ledger: Ledger, begun: Begun) -> Begun:
    """It is kept as it is now."""
    row = CareRow(id=f"{_BEGUN}{begun.id}", made=begun.made, said=plain_begun(begun))
    care_of(ledger).write(lambda writer: writer.put(Drawer.CARE, row))
    return begun


def change(ledger: Ledger, own: str, work: Callable[[Begun], Begun]) -> Begun:
    """It is kept as the work makes it, from what is kept at that moment.

    Raises: NotFoundError, where it was put away meanwhile.
    """

    def within(writer: CareWriter) -> Begun:
        row = writer.row(Drawer.CARE, f"{_BEGUN}{own}")
        before = None if row is None else _begun(row)
        if before is None:
            raise NotFoundError(what=_WHAT, name=own)
        after = work(before)
        writer.put(Drawer.CARE, CareRow(id=f"{_BEGUN}{own}", made=after.made, said=plain_begun(after)))
        return after

    return care_of(ledger).write(within)


def take_begun(ledger: Ledger, own: str) -> None:
    """Nothing of it is kept."""
    if ledger.tables is not None:
        ledger.tables.drop(own)
    care_of(ledger).write(lambda writer: writer.take(Drawer.CARE, f"{_BEGUN}{own}"))


def put_away_lost(care: CareStore, here: Callable[[str], bool] = lambda _: False) -> int:
    """How many tables that wait were put away, since their rows are not here: no backup and no archive has them."""

    def lost(reader: CareReader) -> list[str]:
        return [each.id for each in all_begun(reader) if each.done is None and not here(each.id)]

    def work(writer: CareWriter) -> int:
        for own in (found := lost(writer)):
            writer.take(Drawer.CARE, f"{_BEGUN}{own}")
        return len(found)

    with care.read() as reader:
        any_lost = bool(lost(reader))
    return care.write(work) if any_lost else 0


def sources_in(reader: CareReader) -> list[Source]:
    """Every source that is remembered."""
    found = (source_of(row.said) for row in reader.rows(Drawer.CARE, _SOURCE))
    return [each for each in found if each.name]


def remembered(ledger: Ledger, name: str) -> Source:
    """What is remembered of a source; nothing but its name where it is new."""
    with care_of(ledger).read() as reader:
        row = reader.row(Drawer.CARE, _place(name))
    found = Source(name="") if row is None else source_of(row.said)
    return found if found.name else Source(name=name)


def remember(ledger: Ledger, source: Source) -> None:
    """It is remembered from now on."""
    row = CareRow(id=_place(source.name), made=ledger.clock.now(), said=plain_source(source))
    care_of(ledger).write(lambda writer: writer.put(Drawer.CARE, row))


def likely_source(sources: Sequence[Source], name: str, rows: Sequence[Sequence[str]]) -> Source:
    """The source of that name, else the one whose columns have the same names, else a new one of that name."""
    same = next((each for each in sources if each.name.casefold() == name.casefold()), None)
    if same is not None:
        return same
    lines = [{cell for cell in cells if cell} for cells in rows[:20]]
    alike = (each for each in sources if each.heads and {head for head in each.heads if head} in lines)
    return next(alike, Source(name=name))


def _place(name: str) -> str:
    return _SOURCE + sha256(name.casefold().encode()).hexdigest()[:32]


def _begun(row: CareRow) -> Begun | None:
    try:
        return begun_of(row.id.removeprefix(_BEGUN), row.made, row.said)
    except (KeyError, TypeError, ValueError, AttributeError):
        return None

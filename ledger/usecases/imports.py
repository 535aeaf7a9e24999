"""A table on its way in: taken, its columns chosen, tried without writing, its rows mended and its doubles decided on."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import islice
from pathlib import PurePath
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, InvalidError, Problem
from ledger.importing.begun import Begun, Options
from ledger.importing.below import with_below
from ledger.importing.columns import matched, refitted
from ledger.importing.fields import BY_NAME, NEEDED, REPEATED
from ledger.importing.reading import RowRead
from ledger.importing.tables import TableAsked
from ledger.importing.trying import Tried
from ledger.ports import Ledger
from ledger.rules.currencies import CurrencyError, currency
from ledger.usecases.import_checked import found_alone, found_of, with_mended
from ledger.usecases.import_kept import (
    all_begun,
    care_of,
    change,
    keep_begun,
    likely_source,
    look_at_import,
    open_import,
    remembered,
    sources_in,
    tables_of,
    take_begun,
)
from ledger.usecases.import_tried import issues_of, picked_rows, reader_for, tried, tried_again
from ledger.usecases.record import random_id

__all__ = [
    "IMPORTS_MOST",
    "SOURCE_MOST",
    "Count",
    "begin_import",
    "check_import",
    "choose_columns",
    "decide_doubles",
    "first_rows",
    "imports_of",
    "look_at_import",
    "mend_rows",
    "problem_rows",
    "put_away",
]

IMPORTS_MOST: Final = 10
"""Tables that may wait at once."""
SOURCE_MOST: Final = 100
SAMPLE: Final = 200
"""Rows by which columns are told."""
TELL_EVERY: Final = 50
"""Rows after which it is told how far it is, so that it can be called off within a moment."""
Count = Callable[[int, int], None]
"""Told how many rows are done, of how many; what it raises ends the work."""


def begin_import(  # noqa: PLR0913 - what a file comes with
    ledger: Ledger, actor: Actor, name: str, data: bytes, asked: TableAsked, habits: Options | None = None
) -> Begun:
    """The table, taken in with its columns told; nothing is written into the ledger.

    `habits` is how the person writes dates and amounts; what is remembered of the source goes before it.
    Raises: MalformedError, ConflictError.
    """
    actor.require(Permission.RECORD)
    tables = tables_of(ledger)
    with care_of(ledger).read() as reader:
        waiting, sources = all_begun(reader), sources_in(reader)
    if sum(each.done is None for each in waiting) >= IMPORTS_MOST:
        raise ConflictError(sentence=f"{IMPORTS_MOST} tables wait already. Bring one of them in, or put it away.")
    own, now = random_id(ledger.chance), ledger.clock.now()
    facts = tables.keep(own, data, asked)
    rows = list(islice(tables.rows(own), SAMPLE))
    called = PurePath(name.replace("\\", "/")).name[:SOURCE_MOST] or "table"
    source = likely_source(sources, PurePath(called).stem or called, [cells for _, cells in rows])
    begun = Begun(
        id=own,
        made=now,
        name=called,
        source=source.name,
        facts=facts,
        columns=with_below(matched(rows, source.heads), tables.rows(own)),
        options=replace(source.options, currency=source.options.currency or (habits.currency if habits else None)),
    )
    keep_begun(ledger, begun)
    return begun


def imports_of(ledger: Ledger, actor: Actor) -> tuple[Begun, ...]:
    """All that wait or were done, the newest first."""
    actor.require(Permission.RECORD)
    with care_of(ledger).read() as reader:
        return tuple(reversed(all_begun(reader)))


def choose_columns(  # noqa: PLR0913 - what can be chosen
    ledger: Ledger, actor: Actor, own: str, fields: Sequence[str | None], options: Options, source: str
) -> Begun:
    """The columns are read as these fields from now on, and the cells in these ways; what was tried is to be tried anew.

    Raises: InvalidError, NotFoundError, ConflictError.
    """
    begun = open_import(ledger, actor, own)
    problems = list(_flaws(begun, fields, options, source))
    if problems:
        raise InvalidError(problems=tuple(problems))
    known = remembered(ledger, source.strip())
    changed = replace(
        begun,
        source=known.name or source.strip(),
        columns=refitted(begun.columns, fields),
        options=options,
        found=None,
    )
    keep_begun(ledger, changed)
    return changed


def check_import(ledger: Ledger, actor: Actor, own: str, count: Count) -> Begun:
    """Every row tried without writing any; decisions that were made on doubles before stand.

    Raises: NotFoundError, ConflictError, CalledOffError; what `count` raises.
    """
    begun = open_import(ledger, actor, own)
    runs = tables_of(ledger).runs
    with runs.going(own) as run:

        def told(done: int, expected: int) -> None:
            runs.tell(run, done, expected)
            count(done, expected)

        return _checked(ledger, begun, told)


def _checked(ledger: Ledger, begun: Begun, count: Count) -> Begun:
    def told(number: int) -> None:
        if number % TELL_EVERY == 0:
            count(min(number, begun.rows), begun.rows)

    def begins(number: int) -> None:
        if number % TELL_EVERY == 0:
            count(0, begun.rows)

    def telling() -> Iterator[Tried]:
        for done, each in enumerate(tried(ledger, begun)):
            told(done)
            yield each

    found, gone = found_of(ledger, begun, telling(), lambda: issues_of(ledger, begun, begins), begins)
    return change(ledger, begun.id, lambda now: replace(now, found=found, left=now.left | gone))


def problem_rows(ledger: Ledger, actor: Actor, own: str, *, after: int = 0, limit: int = 25) -> tuple[RowRead, ...]:
    """The next rows with problems, each as it is read now.

    Raises: NotFoundError.
    """
    begun = look_at_import(ledger, actor, own)
    numbers = [row for row in (begun.found.wrong if begun.found else ()) if row > after][:limit]
    return tuple(each.row for each in tried_again(ledger, begun, numbers))


def first_rows(ledger: Ledger, actor: Actor, own: str, numbers: Iterable[int] | None = None) -> tuple[RowRead, ...]:
    """The first rows as they are read, or those of these numbers; for people to see.

    Raises: NotFoundError.
    """
    begun = look_at_import(ledger, actor, own)
    if numbers is None:
        head, below = begun.columns.head_at, begun.columns.below
        rows = (number for number, _ in tables_of(ledger).rows(own) if number > head)
        numbers = [number for number in islice(rows, 8) if not below or number < below]
    picked = picked_rows(ledger, begun, set(numbers))
    reader = reader_for(ledger, begun)
    return tuple(reader.read(number, picked[number], begun.mends.get(number)) for number in sorted(picked))


def mend_rows(
    ledger: Ledger, actor: Actor, own: str, mends: Mapping[int, Mapping[str, str]], left: Iterable[int] = ()
) -> Begun:
    """Fields written anew, and rows left out; those rows are tried again.

    Keeps: once nothing is wrong any more, what was mended is held against what is here, as every row is.
    Raises: NotFoundError, ConflictError.
    """
    begun, leaves = open_import(ledger, actor, own), frozenset(left)
    leaves -= begun.left
    said = {row: {**begun.mends.get(row, {}), **dict(each)} for row, each in mends.items() if each}
    mended = replace(begun, mends={**begun.mends, **said}, left=begun.left | leaves)
    found = begun.found
    if found is not None and (set(said) | leaves) - set(found.wrong):
        # What was right, or is not listed, may now be wrong; only trying all of it tells.
        found = None
    if found is not None:
        touched = (set(said) | leaves) & set(found.wrong)
        again = found_alone(ledger, mended, tried_again(ledger, mended, touched - leaves))
        gone = touched - set(again.wrong)
        wrong_count = found.wrong_count - len(gone)
        found = replace(
            found,
            wrong=tuple(row for row in found.wrong if row not in gone),
            wrong_count=wrong_count,
            good=found.good + again.good,
            more=found.more + again.more,
            already=found.already + again.already,
            asks={**again.asks, **found.asks} if wrong_count else {},
            aside=found.aside + again.aside,
            no_book=found.no_book or again.no_book,
        )
        if not wrong_count:
            found, known = with_mended(ledger, mended, found)
            mended = replace(mended, left=mended.left | known)
    keep_begun(ledger, replace(mended, found=found))
    return replace(mended, found=found)


def decide_doubles(  # noqa: PLR0913 - each way to decide
    ledger: Ledger, actor: Actor, own: str, *, real: Iterable[int] = (), left: Iterable[int] = (), rest: str = ""
) -> Begun:
    """Likely doubles that are books of their own, and those that are left out; `rest` (real or left) speaks of all others.

    Keeps: the decision is remembered for the source, so that the same row is not asked about again.
    Raises: NotFoundError, ConflictError.
    """
    begun = open_import(ledger, actor, own)
    own_rows, gone = set(real), set(left)
    others = {each.row for each in begun.undecided} - own_rows - gone
    own_rows |= others if rest == "real" else set()
    gone |= others if rest == "left" else set()
    changed = replace(begun, real=(begun.real | own_rows) - gone, left=(begun.left | gone) - own_rows)
    if found := changed.found:
        doubles = {each.row for each in found.doubles}
        going = len(_all_of(ledger, begun, (changed.left - begun.left) & doubles))
        coming = len(_all_of(ledger, begun, (begun.left - changed.left) & doubles))
        changed = replace(changed, found=replace(found, good=found.good - going + coming))
    keep_begun(ledger, changed)
    return changed


def _all_of(ledger: Ledger, begun: Begun, rows: Collection[int]) -> list[Tried]:
    """Every book of these rows, left out or not."""
    return tried_again(ledger, replace(begun, left=frozenset()), rows) if rows else []


def put_away(ledger: Ledger, actor: Actor, own: str) -> None:
    """Nothing of it is kept; what was written of it stays.

    Raises: NotFoundError.
    """
    look_at_import(ledger, actor, own)
    take_begun(ledger, own)


def _flaws(begun: Begun, fields: Sequence[str | None], options: Options, source: str) -> Iterator[Problem]:
    if len(fields) != len(begun.columns.columns):
        sentence = f"The table has {len(begun.columns.columns)} columns; this speaks of {len(fields)}."
        yield Problem(field="columns", sentence=sentence)
    taken = [each for each in fields if each is not None]
    for at, each in enumerate(fields):
        if each is not None and each not in BY_NAME:
            yield Problem(field=f"columns.{at}", sentence=f"There is no field {each}. Choose one of those shown.")
        elif each is not None and each in fields[:at] and each not in REPEATED:
            title = BY_NAME[each].title
            yield Problem(field=f"columns.{at}", sentence=f"{title} is taken by another column. Choose one of them.")
    for name in NEEDED:
        if name not in taken and "title_number" not in taken:
            title = BY_NAME[name].title
            sentence = f"No column is read as {title}. A row without it is no book: choose the column that has it."
            yield Problem(field=name, sentence=sentence)
    if not 1 <= len(source.strip()) <= SOURCE_MOST or not source.strip().isprintable():
        yield Problem(field="source", sentence=f"Say in 1 to {SOURCE_MOST} characters where the table is from.")
    if options.currency is not None:
        try:
            currency(options.currency)
        except CurrencyError as error:
            yield Problem(field="currency", sentence=f"{error.problem}. {error.mend}")

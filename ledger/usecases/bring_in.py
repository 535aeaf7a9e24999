"""A table that was tried is brought in: all of its books in one work, or none; a second time adds nothing."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ledger.actor import Actor
from ledger.errors import ConflictError, InvalidError, Problem, RuleError
from ledger.importing.becomes import KINDS_MADE
from ledger.importing.begun import Begun, Done, Source
from ledger.importing.trying import Tried
from ledger.ports import Ledger, Writer
from ledger.usecases.import_kept import change, open_import, remember, remembered, tables_of
from ledger.usecases.import_tried import read_again, tried_again
from ledger.usecases.imports import TELL_EVERY, Count
from ledger.usecases.new_books import NewBooks

__all__ = ["bring_in", "hindrance"]

_AT_ONCE = 200


def hindrance(begun: Begun) -> str | None:
    """Why it cannot be brought in as it stands; None where it can."""
    found = begun.found
    if found is None:
        return "Its rows were not tried since its columns were chosen. Try them first."
    if found.wrong_count:
        rows = "One row has" if found.wrong_count == 1 else f"{found.wrong_count:,} rows have"
        more = (
            "" if found.wrong else " Those that were listed are in order: try every row again, and the next are listed."
        )
        return f"{rows} a problem. Mend each, or leave it out.{more}"
    if begun.undecided:
        rows = "One row is" if len(begun.undecided) == 1 else f"{len(begun.undecided):,} rows are"
        return f"{rows} likely here already. Say of each whether it is a book of its own."
    if found.doubles_count > len(found.doubles):
        return "More rows are likely here already than could be listed. Try every row again, and the next are listed."
    return None


def bring_in(ledger: Ledger, actor: Actor, own: str, count: Count) -> Begun:
    """What was written, once all of it is durable.

    `count` is told how many rows are done, of how many; what it raises ends the work, and nothing of it is kept.
    Keeps: rows that were brought in before are passed over, by the number of their source or their place in the file.
    Raises: NotFoundError, ConflictError, CalledOffError, InvalidError, RuleError, ForbiddenError, StoreError.
    """
    for kind in KINDS_MADE:
        actor.require_to_write(kind)
    begun = open_import(ledger, actor, own)
    if (why := hindrance(begun)) is not None:
        raise ConflictError(sentence=why)
    real: set[str] = set()
    runs = tables_of(ledger).runs
    with runs.going(own) as run:

        def told(done: int, expected: int) -> None:
            runs.tell(run, done, expected)
            count(done, expected)

        done = ledger.log.write(lambda writer: _written(ledger, actor, begun, writer, told, real))
    _remember(ledger, begun, real)
    kept = change(ledger, own, lambda now: replace(now.without_rows(), done=done))
    tables_of(ledger).drop(own)
    return kept


def _written(  # noqa: PLR0913 - what the work stands on
    ledger: Ledger, actor: Actor, begun: Begun, writer: Writer, count: Count, real: set[str]
) -> Done:
    books = NewBooks(ledger, actor, writer)
    total = max(begun.rows - len(begun.left), 1)
    already = seen = aside = 0
    for some in _by_the_hundred(read_again(ledger, begun)):
        used = writer.used_keys([each.key for each in some])
        for each in some:
            if seen % TELL_EVERY == 0:
                count(seen, 2 * total)
            seen += 1
            if each.row.number in begun.real:
                real.add(each.key)
            if each.row.aside:
                aside += 1
            elif each.key in used:
                already += 1
            else:
                _add(books, each)
    books.finish(lambda placed: count(total + min(placed, total), 2 * total))
    return Done(
        books=books.books, entries=books.entries, already=already, left=len(begun.left) + aside, at=ledger.clock.now()
    )


def _add(books: NewBooks, each: Tried) -> None:
    """Raises: InvalidError, RuleError; the problem stands at the row and its field."""
    where = f"rows.{each.row.number}"
    if each.row.problems:
        raise InvalidError(problems=tuple(_at(where, problem) for problem in each.row.problems))
    try:
        books.add(each.events, each.key, each.key.encode())
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=tuple(_at(where, problem) for problem in error.problems)) from error


def _at(where: str, problem: Problem) -> Problem:
    number = where.rpartition(".")[2]
    return replace(problem, field=f"{where}.{problem.field}", sentence=f"Row {number}: {problem.sentence}")


def _by_the_hundred(rows: Iterator[Tried]) -> Iterator[Sequence[Tried]]:
    some: list[Tried] = []
    for each in rows:
        some.append(each)
        if len(some) == _AT_ONCE:
            yield some
            some = []
    if some:
        yield some


def _remember(ledger: Ledger, begun: Begun, real: set[str]) -> None:
    """Columns, ways of reading and decisions are known again with the next table of this source."""
    known = remembered(ledger, begun.source)
    # Of columns of one name the first has it, as in `matched`.
    heads = {each.head: each.field or "" for each in reversed(begun.columns.columns) if each.head}
    whole = replace(begun, left=frozenset())
    left = {each.key for each in tried_again(ledger, whole, begun.left)}
    source = Source(
        name=begun.source,
        heads={**known.heads, **heads},
        options=begun.options,
        left=(known.left | left) - real,
        real=(known.real | real) - left,
    )
    remember(ledger, source)

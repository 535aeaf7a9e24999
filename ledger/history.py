"""What the entries of one chain come to: mended, put in the order of happening, folded, and checked."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from ledger.book import Book, Status
from ledger.collection import Collection
from ledger.entry import Entry
from ledger.errors import Problem
from ledger.events import Event, Scope
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.withdrawal import Withdrawal
from ledger.happening import by_date, moved, places, settled
from ledger.mended import Amender, Moment, amended_flaws, duplicate_problems, mended, mending_problems

__all__ = [
    "MOST_PLACES",
    "Broken",
    "Moment",
    "broken",
    "checked",
    "fold",
    "fold_collection",
    "history",
    "states",
    "verdict",
]

MOST_PLACES = 64
"""Places tried for an entry of vague date; beyond it only the ends are."""


@dataclass(frozen=True, kw_only=True)
class Broken:
    """A rule that an entry in force breaks, given what comes before it."""

    seq: int
    problem: Problem


def history(entries: Sequence[Entry], amender: Amender) -> list[Moment]:
    """Every entry of one chain as it counts now, in the order of happening; withdrawn ones keep their place.

    Keeps: where dates leave the order open, it is one in which every entry keeps its rules, if there is one.
    Requires: entries of one chain in the order they were recorded.
    """
    moments = by_date(mended(entries, amender))
    return settled(moments, _wrong)


def _wrong(moments: Sequence[Moment]) -> list[int]:
    """Numbers of the entries that break a rule in that order, each as often as it breaks one."""
    book = moments[0].entry.book if moments else None
    return [each.seq for each in broken(book, moments)]


def fold(book: str, number: int, moments: Sequence[Moment]) -> Book:
    """The book as its entries in force leave it.

    Requires: moments in the order of happening.
    """
    return states(book, number, moments)[-1]


def states(book: str, number: int, moments: Sequence[Moment]) -> list[Book]:
    """The book before its first entry and after each, as the entries in force until then leave it.

    Keeps: the last one counts them all.
    Requires: moments in the order of happening.
    """
    found = [Book(id=book, no=number)]
    for moment in moments:
        found.append(moment.event.apply(found[-1], moment.entry.at) if moment.in_force else found[-1])
    found[-1] = _written_down(found[-1], moments)
    return found


def _written_down(book: Book, moments: Sequence[Moment]) -> Book:
    """The book with how many entries it has, and when the last of them was written."""
    last = max((moment.entry.recorded for moment in moments), default=None)
    return replace(book, entries=len(moments), last_recorded=last)


def fold_collection(collection: str, moments: Iterable[Moment]) -> Collection:
    """The collection itself as its own entries leave it."""
    state = Collection(id=collection)
    for moment in moments:
        if moment.in_force:
            state = moment.event.apply_collection(state, moment.entry.at)
    return state


def broken(book: str | None, moments: Sequence[Moment], collection: str = "") -> list[Broken]:
    """Every rule broken by an entry in force, walking in the order of happening."""
    if book:
        return checked(book, 0, moments)[1]
    found: list[Broken] = []
    whole = Collection(id=collection)
    for moment in moments:
        if moment.in_force:
            problems = moment.event.check_collection(whole)
            found += [Broken(seq=moment.entry.seq, problem=problem) for problem in problems]
            whole = moment.event.apply_collection(whole, moment.entry.at)
    return found


def checked(book: str, number: int, moments: Sequence[Moment]) -> tuple[Book, list[Broken]]:
    """The book as its entries in force leave it, and every rule that one of them breaks, in one walk.

    Keeps: the book is what `fold` gives, the rules what `broken` does.
    Requires: moments in the order of happening.
    """
    found: list[Broken] = []
    state = Book(id=book, no=number)
    for moment in moments:
        if moment.in_force:
            found += [Broken(seq=moment.entry.seq, problem=each) for each in _problems(moment.event, state)]
            state = moment.event.apply(state, moment.entry.at)
    return _written_down(state, moments), found


def verdict(
    entries: Sequence[Entry], candidate: Entry, amender: Amender, collection: str = ""
) -> tuple[list[Problem], list[Problem]]:
    """What stands against one more entry: rules certainly broken, and warnings where vague dates leave it open.

    A rule counts as certainly broken when it is broken at every place the candidate's date allows. Rules that were
    broken before the candidate came are not held against it.
    Raises: InvalidError when a correction would leave something that is no event of its kind.
    """
    book = candidate.book
    standing = [*mending_problems(entries, candidate), *duplicate_problems(entries, candidate)]
    standing = standing or amended_flaws(entries, candidate, amender)
    if standing:
        return standing, []
    before = {(each.seq, each.problem) for each in broken(book, history(entries, amender), collection)}
    dates_alone = by_date(mended([*entries, candidate], amender))
    moments = settled(dates_alone, _wrong)

    def new(sequence: Sequence[Moment]) -> list[Problem]:
        fresh = [each for each in broken(book, sequence, collection) if (each.seq, each.problem) not in before]
        return [_naming(each, candidate.seq) for each in fresh]

    taken, as_written = new(moments), not new(dates_alone)
    own = next((index for index, each in enumerate(moments) if each.entry.seq == _put_in_order(candidate)), None)
    doubts = [] if taken or not book else _doubts(moments, candidate)
    # Of an unknown date no more is known than where it was written down; where it fits there, nothing is open.
    if own is None or (as_written and not taken and moments[own].event.on is None):
        return taken, doubts
    verdicts = [new(order) for order in _other_places(moments, own, by_the_day=as_written)]
    if not taken:
        open_ones = dict.fromkeys(problem for each in verdicts for problem in each)
        return [], [*(_vague(problem, "; were it the other way round") for problem in open_ones), *doubts]
    if all(verdicts):
        return taken, []
    return [], [_vague(problem, ". As they are taken now") for problem in taken]


def _doubts(moments: Sequence[Moment], candidate: Entry) -> list[Problem]:
    """What is odd about the new entry where it stands now."""
    place = next(index for index, each in enumerate(moments) if each.entry.seq == candidate.seq)
    return list(candidate.event.doubts(states(candidate.book or "", 0, moments[:place])[-1]))


def _other_places(moments: list[Moment], own: int, *, by_the_day: bool) -> Iterator[list[Moment]]:
    """The moments with one of them at its other places, or at the ends of them when there are very many."""
    allowed = places(moments, own, by_the_day=by_the_day)
    for place in allowed if len(allowed) <= MOST_PLACES else (allowed[0], allowed[-1]):
        if place != own:
            yield moved(moments, own, place)


def _put_in_order(candidate: Entry) -> int | None:
    """The entry whose place among the others hangs on its date: the new one, or the one whose date is corrected."""
    event = candidate.event
    if isinstance(event, Correction):
        return event.entry if "on" in event.changes else None
    return None if event.as_recorded or isinstance(event, Withdrawal | Erasure) else candidate.seq


def _problems(event: Event, book: Book) -> list[Problem]:
    """Rules every kind must keep, then those of its own."""
    found = []
    if event.scope is Scope.COLLECTION:
        found.append(
            event.rule(0, f"A {event.kind} speaks of the collection, not of one book. Send it without a book.")
        )
    if book.status in (Status.GONE, Status.SENT_BACK) and not event.after_sale:
        left = next((period.left_by for period in reversed(book.ownerships) if period.left_by), None)
        found.append(
            event.rule(
                0,
                "The book has left the collection; until it comes back only notes and mending can be written.",
                entries=[left] if left else [],
            )
        )
    elif event.needs_held and not book.held:
        found.append(event.rule(0, f"The book is {book.status} at that time, so this cannot have happened then.", "on"))
    return [*found, *event.check(book)]


def _naming(each: Broken, candidate: int) -> Problem:
    """The problem, naming the entry it falls on when that is another one."""
    if each.seq == candidate:
        return each.problem
    sentence = f"With this, entry {each.seq} could not have happened: {each.problem.sentence}"
    return replace(each.problem, field="on", sentence=sentence, entries=tuple({*each.problem.entries, each.seq}))


def _vague(problem: Problem, how: str) -> Problem:
    return replace(problem, sentence=f"The dates are too vague to tell the order{how}: {problem.sentence}")

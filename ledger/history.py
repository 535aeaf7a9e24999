"""What the entries of one chain come to: mended, put in the order of happening, folded, and checked."""

from collections import Counter
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
from ledger.mended import Amender, Moment, amended_flaws, duplicate_problems, mended, mending_problems
from ledger.when import When, as_happened, positions

__all__ = ["MOST_PLACES", "Broken", "Moment", "broken", "fold", "fold_collection", "history", "verdict"]

MOST_PLACES = 64
"""Places tried for an entry of vague date; beyond it only the ends are."""


@dataclass(frozen=True, kw_only=True)
class Broken:
    """A rule that an entry in force breaks, given what comes before it."""

    seq: int
    problem: Problem


def history(entries: Sequence[Entry], amender: Amender) -> list[Moment]:
    """Every entry of one chain as it counts now, in the order of happening; withdrawn ones keep their place.

    Keeps: what has a vague date stands where it breaks no rule, if its date allows such a place.
    Requires: entries of one chain in the order they were recorded.
    """
    return _settled(_by_date(entries, amender))


def _by_date(entries: Sequence[Entry], amender: Amender) -> list[Moment]:
    """In the order that dates and recording alone give."""
    moments = mended(entries, amender)
    return [moments[index] for index in as_happened([_on(moment) for moment in moments])]


def _settled(moments: list[Moment]) -> list[Moment]:
    """One moment after another moved to the latest place at which the fewest rules are broken, while that helps."""
    book = moments[0].entry.book if moments else None
    free = _free(moments)
    least = len(broken(book, moments)) if book and free else 0
    for _ in free:
        if not least:
            break
        tried = [order for seq in free for order in _moves(moments, seq)]
        counts = [len(broken(book, order)) for order in tried]
        if min(counts, default=least) >= least:
            break
        least = min(counts)
        moments = tried[counts.index(least)]
    return moments


def _free(moments: Sequence[Moment]) -> list[int]:
    """Numbers of the entries in force that may have another place: of a vague date, or of a day that others have too."""
    days = Counter(_on(moment) for moment in moments)
    dated = (moment for moment in moments if moment.in_force and _on(moment) is not None)
    return [moment.entry.seq for moment in dated if days[_on(moment)] > 1 or not _dated(moment)]


def _moves(moments: list[Moment], seq: int) -> Iterator[list[Moment]]:
    """The moments with one of them at every other place its date allows, the latest first."""
    own = next(index for index, each in enumerate(moments) if each.entry.seq == seq)
    for place in reversed(_places(moments, own, by_the_day=False)):
        if place != own:
            yield _moved(moments, own, place)


def fold(book: str, number: int, moments: Iterable[Moment]) -> Book:
    """The book as its entries in force leave it.

    Requires: moments in the order of happening.
    """
    state = Book(id=book, no=number)
    count, last = 0, None
    for moment in moments:
        count += 1
        last = max(last, moment.entry.recorded) if last else moment.entry.recorded
        if moment.in_force:
            state = moment.event.apply(state, moment.entry.at)
    return replace(state, entries=count, last_recorded=last)


def fold_collection(collection: str, moments: Iterable[Moment]) -> Collection:
    """The collection itself as its own entries leave it."""
    state = Collection(id=collection)
    for moment in moments:
        if moment.in_force:
            state = moment.event.apply_collection(state, moment.entry.at)
    return state


def broken(book: str | None, moments: Sequence[Moment], collection: str = "") -> list[Broken]:
    """Every rule broken by an entry in force, walking in the order of happening."""
    found: list[Broken] = []
    state, whole = Book(id=book or "", no=0), Collection(id=collection)
    for moment in moments:
        if not moment.in_force:
            continue
        event = moment.event
        problems = _problems(event, state) if book else list(event.check_collection(whole))
        found += [Broken(seq=moment.entry.seq, problem=problem) for problem in problems]
        if book:
            state = event.apply(state, moment.entry.at)
        else:
            whole = event.apply_collection(whole, moment.entry.at)
    return found


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
    by_date = _by_date([*entries, candidate], amender)
    moments = _settled(by_date)

    def new(sequence: Sequence[Moment]) -> list[Problem]:
        fresh = [each for each in broken(book, sequence, collection) if (each.seq, each.problem) not in before]
        return [_naming(each, candidate.seq) for each in fresh]

    taken = new(moments)
    own = next((index for index, each in enumerate(moments) if each.entry.seq == _put_in_order(candidate)), None)
    # Of an unknown date no more is known than where it was written down; where it fits there, nothing is open.
    if own is None or (not taken and moments[own].event.on is None):
        return taken, []
    places = _places(moments, own, by_the_day=not new(by_date))
    verdicts = [new(_moved(moments, own, place)) for place in places if place != own]
    if not taken:
        open_ones = dict.fromkeys(problem for each in verdicts for problem in each)
        return [], [_vague(problem, "; were it the other way round") for problem in open_ones]
    if all(verdicts):
        return taken, []
    return [], [_vague(problem, ". As they are taken now") for problem in taken]


def _put_in_order(candidate: Entry) -> int | None:
    """The entry whose place among the others hangs on its date: the new one, or the one whose date is corrected."""
    event = candidate.event
    if isinstance(event, Correction):
        return event.entry if "on" in event.changes else None
    return None if event.as_recorded or isinstance(event, Withdrawal | Erasure) else candidate.seq


def _on(moment: Moment) -> When | None:
    """The date by which it is put in order."""
    return None if moment.event.as_recorded else moment.event.on


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


def _places(moments: Sequence[Moment], own: int, *, by_the_day: bool) -> list[int]:
    """Every place the date of one moment allows among the others.

    Keeps: `by_the_day` what is dated to the day stays as it was recorded beside what else is dated to the day: people
    write things down in the order in which they did them, unless they forgot one.
    """
    others = [index for index in range(len(moments)) if index != own]
    dates = [_on(moment) for moment in moments]
    allowed = positions(others, dates, dates[own])
    if by_the_day and _dated(moments[own]):
        before = [place for place in others[:own] if _dated(moments[place])]
        after = [place for place in others[own:] if _dated(moments[place])]
        allowed = range(max(allowed.start, before[-1] + 1 if before else 0), allowed.stop)
        allowed = range(allowed.start, min(allowed.stop, after[0] if after else len(moments)))
    places = list(allowed)
    return places if len(places) <= MOST_PLACES else [places[0], places[-1]]


def _dated(moment: Moment) -> bool:
    """Its date says the day, if not the moment."""
    return moment.event.on is not None and moment.event.on.precision in ("day", "instant")


def _moved(moments: Sequence[Moment], own: int, place: int) -> list[Moment]:
    """The moments with one of them at another place."""
    others = [moment for index, moment in enumerate(moments) if index != own]
    return [*others[:place], moments[own], *others[place:]]

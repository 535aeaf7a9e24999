"""The outlook of one book: what its defects and this collector's results say, what was recorded, and what came of it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from ledger.actor import Actor, Permission
from ledger.book import Book
from ledger.events._parts import Face
from ledger.events.choice import Next
from ledger.events.submission import Submission
from ledger.forecast import Attempt, Forecast, Stands, attempts_of
from ledger.graded import Graded, Service, faults_at, key_of, said_at, services
from ledger.history import Moment, fold, history
from ledger.learned import eased, learned_chances
from ledger.looks import LookSeen, looks_of
from ledger.outlooks import Computed, computed
from ledger.ports import Ledger
from ledger.precedents import MOST, Precedent, precedents
from ledger.rules.book_ceiling import Fault
from ledger.rules.ceiling_chances import with_chances
from ledger.rules.chances import ChanceRow, Chances, Eased, chance_row
from ledger.rules.distributions import Distribution
from ledger.rules.graders import Kernel, learned
from ledger.rules.grades import Grade
from ledger.usecases.own_results import OwnResults, own_results
from ledger.usecases.rulings import InForce, in_force, rulings_in

__all__ = ["KernelUsed", "OutlookView", "Rests", "kernel_used", "outlook_of", "precedents_of"]


@dataclass(frozen=True, kw_only=True)
class Rests:
    """What the chances of one defect rest on: a row of the table, and own results with such defects."""

    row: ChanceRow
    seen: Eased


@dataclass(frozen=True, kw_only=True)
class KernelUsed:
    """How far from the ceiling graders land, and what that was learned from."""

    kernel: Kernel
    service: str | None
    """Whose results it was learned from; None where it is not known who will grade, and all results count."""
    results: int
    """How many own results those are."""
    untold: int
    """Own grades of the same that tell nothing, since what was left on the book is not known."""
    strength: int
    """How many results the weights to begin with stand for."""


@dataclass(frozen=True, kw_only=True)
class OutlookView:
    """Everything that is known of where a book may land."""

    book: str
    look: int | None
    """The entry of the last look; None where nobody has looked, and nothing is computed."""
    rested: bool
    """No work came after that look, and where work came before it, the book had rested for a week."""
    worked_since: bool
    """Work came after that look, so that the book may be better than it says."""
    gone_over: frozenset[Face]
    """The faces that some look went over as a whole: on any other there may be defects that nobody has seen."""
    faults: tuple[Fault, ...]
    """The defects that are there, in the order in which they were first seen, and what was said of the paper."""
    chances: Mapping[str, Chances]
    """Of each fault by its id, after this collector's results."""
    rests: Mapping[str, Rests]
    """On what these rest, by the same id."""
    kernel: KernelUsed
    services: Mapping[str, Service]
    """Every service with own results, by a key; under the empty key those of which nobody wrote down the service."""
    computed: Computed | None
    work_over: bool
    """The last choice was to stop or to leave the book alone, or it is at a service, or a grade given to it here holds."""
    presents_as: Grade | None
    """What it looks like at arm's length, as last said: shown apart, and no part of any ceiling."""
    technical: Grade | None
    """What an examiner held it to be by its defects, as last said."""
    attempts: tuple[Attempt, ...] = ()
    """The ways through a service with the outlooks that speak of each, in the order of happening; what is not sent yet last."""
    results: tuple[Graded, ...]
    """The grades it was given, in the order of happening."""
    rules: InForce
    """The rows all this was read by, and the rulings among them."""
    damaged: tuple[str, ...]
    """Books that could not be read, so that their results do not count."""

    @property
    def grades(self) -> Distribution | None:
        """The computed outlook: as the book is where the work is over, else after one whole round of work."""
        if self.computed is None:
            return None
        return self.computed.grades_now if self.work_over else self.computed.grades_after

    @property
    def by_number(self) -> Mapping[str, int]:
        """The number of each fault as people say it, from 1, by its id; the paper comes last."""
        return MappingProxyType({each.id: number for number, each in enumerate(self.faults, start=1)})

    @property
    def stated(self) -> tuple[tuple[Attempt, Forecast], ...]:
        """The outlooks in its chain, own and computed, each with the way it speaks of, in the order of happening."""
        return tuple((attempt, each) for attempt in self.attempts for each in attempt.forecasts)

    @property
    def late(self) -> tuple[Forecast, ...]:
        """Outlooks that were entered after the result."""
        return tuple(each for _, each in self.stated if each.stands is Stands.LATE)

    def with_chances(self, name: str, instead: Chances) -> Computed:
        """What the defects would say with other chances for one of them: what easing it further is worth.

        Raises: KeyError, for an id that no fault has.
        """
        chances = with_chances(self.chances, name, instead)
        return computed(self.faults, chances, self.kernel.kernel, self.rules.ceilings)


def outlook_of(ledger: Ledger, actor: Actor, book: str, *, service: str | None = None) -> OutlookView:
    """The outlook of a book at this moment; `service` is who will grade, left out it is the one it was last sent to.

    Keeps: what cannot be read off, since it was not measured, is named among the computed and not guessed.
    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        row = reader.book(book)
        entries = reader.of_book(book)
        moments = history(entries, ledger.codec)
        attempts = attempts_of(book, entries, ledger.codec)
        rules = in_force(rulings_in(ledger, reader))
        own = own_results(ledger, reader, rules.ceilings)
    view = _view(fold(book, row.no, moments), moments, rules, own, service or _last_service(moments))
    return replace(view, attempts=attempts)


def precedents_of(ledger: Ledger, actor: Actor, book: str, most: int = MOST) -> tuple[Precedent, ...]:
    """The graded books of this collector with defects like those that the last look at a book found, the likest first.

    Its own earlier grades are among them, but for one that rests on that very look.
    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        reader.book(book)
        looks = looks_of(history(reader.of_book(book), ledger.codec))
        own = own_results(ledger, reader, in_force(rulings_in(ledger, reader)).ceilings)
    if not looks:
        return ()
    # Held against the very look it rests on, a grade of its own would be told as its own precedent.
    others = [each for each in own.cases if each.before != looks[-1].seq]
    return precedents(faults_at(looks[-1]), others, most)


def _view(book: Book, moments: list[Moment], rules: InForce, own: OwnResults, service: str | None) -> OutlookView:
    looks = looks_of(moments)
    look = looks[-1] if looks else None
    faults = faults_at(look) if look else ()
    seen, known = eased(own.came, rules.chances), services(own.graded)
    chances, kernel = learned_chances(faults, seen, rules.chances), kernel_used(rules, known, service)
    return OutlookView(
        book=book.id,
        look=look.seq if look else None,
        rested=look is not None and not look.worked_after and (look.rested or not look.worked_before),
        worked_since=look is not None and look.worked_after,
        gone_over=frozenset(face for each in looks for face in each.event.faces_looked_at),
        faults=faults,
        chances=chances,
        rests=_rests(faults, seen, rules),
        kernel=kernel,
        services=known,
        computed=computed(faults, chances, kernel.kernel, rules.ceilings) if look else None,
        work_over=_work_over(book),
        presents_as=_grade(look, "presents_as"),
        technical=_grade(look, "technical"),
        results=own.of[book.id].graded if book.id in own.of else (),
        rules=rules,
        damaged=own.damaged,
    )


def _rests(faults: tuple[Fault, ...], seen: Mapping[str, Eased], rules: InForce) -> Mapping[str, Rests]:
    rows = {each.id: chance_row(each.type, breaks_colour=each.breaks_colour, rows=rules.chances) for each in faults}
    return MappingProxyType({name: Rests(row=row, seen=seen.get(row.id, Eased())) for name, row in rows.items()})


def kernel_used(rules: InForce, known: Mapping[str, Service], service: str | None) -> KernelUsed:
    """How graders land around the ceiling by own results with a service; without one, by all of them."""
    key = key_of(service)
    counted = [each for name, each in known.items() if not key or name == key]
    results = [steps for each in counted for steps in each.results]
    return KernelUsed(
        kernel=learned(rules.grader, results),
        service=service if key else None,
        results=len(results),
        untold=sum(each.untold for each in counted),
        strength=rules.grader.strength,
    )


def _last_service(moments: list[Moment]) -> str | None:
    """Whom the book was last sent to, as far as that is at hand."""
    sent = (each.event for each in reversed(moments) if each.in_force and isinstance(each.event, Submission))
    return next((each.service.value for each in sent if each.service.value), None)


def _work_over(book: Book) -> bool:
    grade = book.grade_in_force()
    chosen = book.choice in (Next.STOP.value, Next.LEAVE_ALONE.value)
    return chosen or book.open_submission is not None or (grade is not None and grade.own_submission)


def _grade(look: LookSeen | None, name: str) -> Grade | None:
    said = said_at(look, name) if look else None
    return None if said is None else Grade(said)

"""Batches: several books are sent, told of and brought back together, each time as one act."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from ledger.actor import Actor, Permission
from ledger.batches import BOOKS_MOST, Batch, InBatch, batch_of, trips_of
from ledger.errors import InvalidError, NotFoundError, Problem, RuleError
from ledger.events._parts import Holding, MatchedBy, OpinionOf, StatedGrade
from ledger.events.slab import IN_HOLDER, Outcome, Slab
from ledger.events.submission import SENDS, Ask, Stage, Submission
from ledger.forecast import attempts_of
from ledger.history import fold, history
from ledger.money import Money
from ledger.ports import Ledger, Reader
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.shares import at_its_book, share_flaws, shared, stated_shares
from ledger.usecases.record import Draft, Recorded, Request, record
from ledger.usecases.stored import readable
from ledger.when import When

__all__ = [
    "BookResult",
    "BookSent",
    "ResultsSaid",
    "SendSaid",
    "look_at_batch",
    "look_at_batches",
    "move_on",
    "send",
    "write_results",
]


@dataclass(frozen=True, kw_only=True)
class BookSent:
    """One book of a batch that goes out."""

    book: str
    insured_for: Money | None = None
    share: int | None = None
    """Its share of what the batch costs; all of them or none are given."""


@dataclass(frozen=True, kw_only=True)
class SendSaid:
    """A batch as it goes out; fee and postage are those of the whole."""

    batch: str
    books: tuple[BookSent, ...]
    on: When | None = None
    asks: Ask = Ask.GRADE
    speed: str | None = None
    service: str | None = None
    fee: Money | None = None
    postage: Money | None = None


@dataclass(frozen=True, kw_only=True)
class BookResult:
    """What came of one book."""

    book: str
    outcome: Outcome = Outcome.GRADE_GIVEN
    as_written: str | None = None
    step: Grade | None = None
    holder_number: str | None = None
    page_tone: str | None = None
    remarks: str | None = None
    fee: Money | None = None
    """What was charged for grading it, where that is on the invoice."""
    share: int | None = None
    """Its share of the whole invoice; all of them or none are given."""


@dataclass(frozen=True, kw_only=True)
class ResultsSaid:
    """What came of a batch, or of some of its books; the invoice is that of these."""

    results: tuple[BookResult, ...]
    on: When | None = None
    came_back: When | None = None
    service: str | None = None
    """Left out, it is the one the batch was sent to."""
    invoice: Money | None = None


def look_at_batches(ledger: Ledger, actor: Actor) -> tuple[Batch, ...]:
    """All of them, the one with the newest entry first."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        trips = [trip for book in _books_sent(reader) for trip in _trips(ledger, reader, book)]
    names = dict.fromkeys(trip.batch for trip in trips)
    return tuple(sorted((batch_of(name, trips) for name in names), key=lambda each: -each.last_seq))


def look_at_batch(ledger: Ledger, actor: Actor, batch: str) -> Batch:
    """One of them.

    Raises: NotFoundError.
    """
    found = next((each for each in look_at_batches(ledger, actor) if each.id == batch), None)
    if found is None:
        raise NotFoundError(what="batch", name=batch)
    return found


def send(ledger: Ledger, actor: Actor, said: SendSaid, request: Request | None = None) -> Recorded:
    """The books are sent in one act, each with its exact share of fee and postage.

    Keeps: the shares make the whole, to the smallest unit. A problem with a book has the field `books.N.…`.
    Raises: what `record` raises.
    """
    problems = [*_flaws_of_books([each.book for each in said.books], [each.share for each in said.books], "books")]
    if not _was_written(ledger, request):
        problems += _name_taken(ledger, actor, said.batch)
    _refuse(problems)
    shares, count = stated_shares([each.share for each in said.books]), len(said.books)
    fees, postages = shared(said.fee, shares, count), shared(said.postage, shares, count)
    drafts = [
        Draft(
            book=each.book,
            event=Submission(
                on=said.on,
                batch=said.batch,
                asks=said.asks,
                speed=said.speed,
                service=Sealed.of(said.service),
                insured_for=Sealed.of(each.insured_for),
                fee=Sealed.of(fee),
                postage=Sealed.of(postage),
            ),
        )
        for each, fee, postage in zip(said.books, fees, postages, strict=True)
    ]
    return _written(ledger, actor, drafts, request, "books")


def move_on(  # noqa: PLR0913 - who tells what of which batch, and how it is asked
    ledger: Ledger, actor: Actor, batch: str, stage: Stage, on: When | None = None, request: Request | None = None
) -> Recorded:
    """News of the books that are under way: received there, or shipped back; those that are so far already stay.

    Raises: NotFoundError; InvalidError where none is left to be told of; what `record` raises.
    """
    if stage in SENDS:
        raise InvalidError(problems=(Problem(field="stage", sentence="Say received there, or shipped back."),))
    found, order = look_at_batch(ledger, actor, batch), list(Stage)
    ready = [each for each in found.under_way if order.index(each.stage) < order.index(stage)]
    if not ready and not _was_written(ledger, request):
        sentence = f"Every book of this batch is back or is {stage.value} already."
        raise InvalidError(problems=(Problem(field="stage", sentence=sentence),))
    drafts = [Draft(book=each.book, event=Submission(on=on, stage=stage, batch=batch)) for each in ready or found.books]
    return _written(ledger, actor, drafts, request, "books")


def write_results(
    ledger: Ledger, actor: Actor, batch: str, said: ResultsSaid, request: Request | None = None
) -> Recorded:
    """What came of these books in one act, each with its exact share of the invoice.

    Keeps: a problem with a book has the field `results.N.…`.
    Raises: NotFoundError; what `record` raises.
    """
    found = look_at_batch(ledger, actor, batch)
    problems = _flaws_of_books([each.book for each in said.results], [each.share for each in said.results], "results")
    own = {each.book for each in found.books}
    for place, each in enumerate(said.results):
        if each.book not in own:
            problems.append(Problem(field=f"results.{place}.book", sentence=f"This book is not in batch {batch}."))
        problems += _flaws_of_grade(each, place)
    _refuse(problems)
    invoices = shared(said.invoice, stated_shares([each.share for each in said.results]), len(said.results))
    service = said.service if said.service is not None else found.service.value
    drafts = [
        Draft(book=each.book, event=_slab(batch, said, each, service, invoice))
        for each, invoice in zip(said.results, invoices, strict=True)
    ]
    return _written(ledger, actor, drafts, request, "results")


def _slab(batch: str, said: ResultsSaid, each: BookResult, service: str | None, invoice: Money | None) -> Slab:
    stated = None
    if each.as_written is not None:
        matched = MatchedBy.HOLDER_NUMBER if each.holder_number else MatchedBy.NOT_MATCHED
        steps = (each.step,) if each.step is not None else ()
        stated = StatedGrade(as_written=each.as_written, steps=steps, opinion_of=OpinionOf.SERVICE, matched_by=matched)
    return Slab(
        on=said.on,
        outcome=each.outcome,
        batch=batch,
        stated=stated,
        holder_number=each.holder_number,
        page_tone=each.page_tone,
        holding=Holding.SLABBED if each.outcome in IN_HOLDER else None,
        came_back=None if each.outcome is Outcome.LOST else said.came_back,
        service=Sealed.of(service),
        service_remarks=Sealed.of(each.remarks),
        fee=Sealed.of(each.fee),
        invoice=Sealed.of(invoice),
    )


def _flaws_of_grade(each: BookResult, place: int) -> list[Problem]:
    at = f"results.{place}"
    if each.outcome is Outcome.GRADE_GIVEN and not each.as_written:
        sentence = "Write the grade as it stands on the holder, or choose another outcome."
        return [Problem(field=f"{at}.as_written", sentence=sentence)]
    if each.outcome is Outcome.GRADE_GIVEN and each.step is None:
        return [Problem(field=f"{at}.step", sentence="Say which step of the scale this grade is.")]
    return []


def _flaws_of_books(books: Sequence[str], shares: Sequence[int | None], at: str) -> list[Problem]:
    """What is wrong with the choice of books, and with their shares of what is split."""
    found = []
    if not 1 <= len(books) <= BOOKS_MOST:
        found.append(Problem(field=at, sentence=f"A batch has 1 to {BOOKS_MOST} books. Choose them."))
    for place, book in enumerate(books):
        if book in books[:place]:
            found.append(Problem(field=f"{at}.{place}.book", sentence="This book stands here twice. Take it once."))
    return [*found, *share_flaws(shares, at)]


def _name_taken(ledger: Ledger, actor: Actor, batch: str) -> list[Problem]:
    with suppress(NotFoundError):
        look_at_batch(ledger, actor, batch)
        return [Problem(field="batch", sentence=f"There is a batch {batch} already. Give this one another id.")]
    return []


def _was_written(ledger: Ledger, request: Request | None) -> bool:
    """The key of this request stands for something already, so that its answer is given again."""
    if request is None or request.key is None:
        return False
    with ledger.log.read() as reader:
        return reader.receipt(request.key) is not None


def _written(ledger: Ledger, actor: Actor, drafts: Sequence[Draft], request: Request | None, at: str) -> Recorded:
    """The act; a problem is told at the place of its book."""
    try:
        return record(ledger, actor, drafts, request)
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=tuple(at_its_book(each, len(drafts), at) for each in error.problems)) from error


def _books_sent(reader: Reader) -> list[str]:
    """Every book that was ever sent, in the order in which that was written down."""
    books = (entry.book for entry in readable(reader, Submission.kind))
    return list(dict.fromkeys(book for book in books if book is not None))


def _trips(ledger: Ledger, reader: Reader, book: str) -> list[InBatch]:
    entries = reader.of_book(book)
    moments = history(entries, ledger.codec)
    number = moments[0].entry.book_no
    return trips_of(moments, fold(book, number or 0, moments), attempts_of(book, entries, ledger.codec))


def _refuse(problems: Sequence[Problem]) -> None:
    if problems:
        raise InvalidError(problems=tuple(problems))

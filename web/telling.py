"""What may be said of the work on a book, in sentences: done here, not done here, not known before; no more than that."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

from ledger.events._step import Ended
from ledger.rules.headings import Heading
from ledger.rules.techniques import Technique, techniques
from ledger.statement import SETTLED, Statement, Step
from ledger.when import When
from web.filters import when
from web.numbers import and_so_on, number, or_else
from web.wording import t

__all__ = ["Beside", "Clause", "Count", "Known", "Telling", "tell"]

FROM_MEMORY = timedelta(days=31)
"""A book written down later than this after it came was written down from memory."""
PRESSING = frozenset({"cold-press", "hot-press-dry", "hot-press-humidified", "humidification", "local-heat"})


class Known(StrEnum):
    """What sort of thing a clause says; each is underlined in its own way."""

    DONE = "done"
    NOT_DONE = "not-done"
    NOT_KNOWN = "not-known"


@dataclass(frozen=True)
class Clause:
    """A part of a sentence, or one of its own."""

    known: Known
    words: str


@dataclass(frozen=True)
class Count:
    """How many steps stand under one heading, in words."""

    heading: Heading
    words: str


@dataclass(frozen=True)
class Telling:
    """All that is said: the one sentence in its clauses, sentences of their own after it, and quieter ones below."""

    sentence: tuple[Clause, ...]
    more: tuple[Clause, ...]
    counts: tuple[Count, ...]
    notes: tuple[str, ...]
    by_aim: str
    """Where a step adds nothing and was done for looks: that by aim it is nearest to restoration. Empty otherwise."""

    @property
    def text(self) -> str:
        """The sentence as a program or a printer without underlines would say it."""
        return f"{'; '.join(clause.words for clause in self.sentence)}."


@dataclass(frozen=True)
class Beside:
    """What a statement leaves out and its sentences need."""

    gone: bool = False
    """The book is in the collection no longer."""
    left: When | None = None
    """Since when."""
    sold: bool = True
    """A seller had it before; False for a gift, an inheritance or a find."""
    words: str = ""
    """What was said of earlier work, where the owner has it at hand."""


def tell(said: Statement, beside: Beside | None = None) -> Telling:
    """What a statement comes to in sentences."""
    return Telling(
        sentence=tuple(_sentence(said, beside or Beside())),
        more=tuple(_more(said)),
        counts=tuple(_counts(said)),
        notes=tuple(_notes(said)),
        by_aim=_by_aim([step for step in _all(said) if _for_looks(step)]),
    )


def _sentence(said: Statement, beside: Beside) -> Iterator[Clause]:
    period, not_done = _period(said, beside), _not_done(said)
    if said.done:
        yield Clause(Known.DONE, t("book.telling.done", period=period, steps=_steps(said)))
        if not_done:
            yield Clause(Known.NOT_DONE, t("book.telling.not_done", headings=not_done))
    elif said.signed:
        yield Clause(Known.NOT_DONE, t("book.telling.only_signed", period=period, headings=not_done))
    else:
        yield Clause(Known.NOT_DONE, t("book.telling.nothing", period=period, headings=not_done))
    answer = said.seller_says.replace(" ", "_")
    said_of_it = t(f"book.telling.seller.{answer}") if beside.sold else t(f"book.telling.nobody.{answer}")
    quoted = t("book.telling.quoted", words=beside.words.rstrip(". ")) if beside.words else ""
    yield Clause(
        Known.NOT_KNOWN,
        t(
            "book.telling.before",
            before=t("book.telling.not_known_around" if beside.gone else "book.telling.not_known"),
            said=f"{said_of_it} {quoted}".rstrip(),
        ),
    )


def _period(said: Statement, beside: Beside) -> str:
    """Since when, or from when to when, the book was here."""
    since = _day(said.since)
    if said.since is None and said.recorded is not None:
        since = t("book.telling.no_date", recorded=when(When.of_day(said.recorded.date())))
    if beside.gone:
        return t("book.telling.from_to", since=since, until=_day(beside.left))
    return t("book.telling.since", since=since)


def _day(on: When | None) -> str:
    """A date as it follows "since"."""
    if on is None:
        return t("book.telling.some_day")
    if on.precision == "decade":
        return t("book.telling.decade", decade=on.label())
    return t("book.telling.interval", interval=on.label()) if on.precision == "interval" else on.label()


def _steps(said: Statement) -> str:
    """Every step counted in words, by heading; "with nothing added" when that holds for all of them."""
    if [heading for heading, _ in said.done] == [Heading.NON_ADDITIVE]:
        return t("book.telling.nothing_added", steps=_counted(said.done[0][1]))
    parts = [t(f"book.telling.as.{heading.value}", steps=_counted(steps)) for heading, steps in said.done]
    return "; ".join(parts)


def _counted(steps: Sequence[Step]) -> str:
    """The steps under one heading, by technique in the order in which each was first done."""
    counts = Counter(step.technique for step in steps)
    titles = {step.technique: step.title for step in steps}
    known = {each.id for each in techniques()}
    parts = [
        t.n(f"book.steps.{name}", count, number=number(count))
        if name in known
        else t.n("book.steps.unknown-technique", count, number=number(count), title=titles[name])
        for name, count in counts.items()
    ]
    return and_so_on(parts) + _by(steps)


def _by(steps: Sequence[Step]) -> str:
    """How many of the steps were done by other hands, were cut off or went wrong, and changed nothing."""
    counted = {
        "others": sum(step.by_other_hands for step in steps),
        "cut_off": sum(step.ended is Ended.CUT_OFF for step in steps),
        "gone_wrong": sum(step.ended is Ended.GONE_WRONG for step in steps),
        "idle": sum(step.changed_anything is False for step in steps),
    }
    said = ""
    for key, count in counted.items():
        if count == len(steps) and count:
            said += t.n(f"book.by.{key}.all", count)
        elif count:
            said += t.n(f"book.by.{key}.some", count, number=number(count))
    return said


def _not_done(said: Statement) -> str:
    """The headings under which nothing was done, as far as that can be said beside a step that is not settled."""
    names = or_else([t(f"book.telling.work.{each.value}") for each in said.not_done])
    open_ones = sum(len(steps) for heading, steps in said.done if heading is Heading.NOT_SETTLED)
    return (
        t.n("book.telling.unless", open_ones, headings=names, number=number(open_ones))
        if names and open_ones
        else names
    )


def _more(said: Statement) -> Iterator[Clause]:
    """Writing by hand, what is not settled, and times away, each in a sentence of its own."""
    for step in said.signed:
        by = t("book.telling.by_others") if step.by_other_hands else ""
        yield Clause(Known.DONE, t("book.telling.signed", when=_on(step.on), by=by))
    for heading, steps in said.done:
        for step in steps if heading is Heading.NOT_SETTLED else ():
            yield Clause(
                Known.NOT_KNOWN, t("book.telling.not_settled", step=step.title, when=_on(step.on), seq=step.seq)
            )
    for away in said.away:
        yield Clause(Known.NOT_KNOWN, t("book.telling.away", since=_day(away.since), until=_day(away.until)))


def _counts(said: Statement) -> Iterator[Count]:
    """The headings a reader asks for by name, each with its count; the one that is not settled only when there is one."""
    counts = {heading: len(steps) for heading, steps in said.done}
    for heading in SETTLED:
        count = counts.get(heading, 0)
        yield Count(
            heading, t.n("book.telling.count", count, number=number(count)) if count else t("book.telling.none")
        )
    if count := counts.get(Heading.NOT_SETTLED, 0):
        yield Count(Heading.NOT_SETTLED, t.n("book.telling.count", count, number=number(count)))


def _notes(said: Statement) -> Iterator[str]:
    """Where the owner disagrees, what is but claimed, what rests on memory, and records of owners before."""
    for step in _all(said):
        if step.owner_heading is not None:
            yield t(
                "book.telling.disagrees",
                step=step.title,
                when=_on(step.on),
                owner=step.owner_heading.label,
                facts=step.heading.label,
            )
    if any(step.outcomes for step in _all(said)):
        yield t("book.telling.claims")
    if said.since and said.recorded and said.recorded.date() - said.since.latest_day > FROM_MEMORY:
        yield t("book.telling.memory", recorded=when(When.of_day(said.recorded.date())))
    if said.earlier_records:
        yield t.n("book.telling.records", said.earlier_records, number=number(said.earlier_records))


def _all(said: Statement) -> list[Step]:
    return [*(step for _, steps in said.done for step in steps), *said.signed]


def _on(on: When | None) -> str:
    """A date as it follows what was done: on a day, in a month or a year."""
    if on is None:
        return t("book.telling.on_some_day")
    match on.precision:
        case "day" | "instant":
            return t("book.telling.on", when=on.label())
        case "interval":
            return t("book.telling.on", when=_day(on))
        case _:
            return t("book.telling.in", when=_day(on))


def _by_aim(steps: Sequence[Step]) -> str:
    if not steps:
        return ""
    return t("book.telling.aim.pressing" if PRESSING & {step.technique for step in steps} else "book.telling.aim.other")


def _for_looks(step: Step) -> bool:
    row: Technique | None = next((each for each in techniques() if each.id == step.technique), None)
    return row is not None and step.heading is Heading.NON_ADDITIVE and "restoration" in row.aims

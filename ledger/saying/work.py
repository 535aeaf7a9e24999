"""The statement of a record in three states: done here, not done here, not known before; and its one sentence on top.

It never says that nothing was ever done: that is beyond what any ledger knows.
"""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from ledger.events.custody import Custody
from ledger.events.intervention import Intervention
from ledger.events.purchase import Means, Purchase
from ledger.events.submission import Submission
from ledger.proof.sheet import Block, Section, Words, Work
from ledger.rules.headings import Heading
from ledger.saying.spelling import day, every, sealed, since, written
from ledger.saying.steps import step
from ledger.saying.told import Told
from ledger.saying.wording import t
from ledger.sealed import SealState
from ledger.statement import Statement, Step

__all__ = ["lead", "statement_section"]

FROM_MEMORY = timedelta(days=31)
"""A book entered later than this after it came was entered from memory. Our assumption."""


def lead(of: Told) -> str:
    """The one sentence on top, in its three parts."""
    said = of.statement
    parts = [_counted(heading, len(steps)) for heading, steps in said.done]
    parts += [t.n("count.signed", len(said.signed))] if said.signed else []
    not_done = _not_done(said)
    done = t("lead.done", period=_period(of), steps=", ".join(parts)) if parts else ""
    nothing = t("lead.nothing", period=_period(of), headings=not_done) if not parts else ""
    rest = t("lead.not_done", headings=not_done) if parts and not_done else ""
    # What a book that came back was said to be when it first came in still stands.
    word = of.book.earlier_work or said.seller_says
    before = t("lead.before", said=t(f"lead.seller.{word.replace(' ', '_')}"))
    return " ".join(each for each in (done, nothing, rest, before) if each)


def _counted(heading: Heading, count: int) -> str:
    return t.n(f"count.{heading.value}", count)


def _period(of: Told) -> str:
    """Since when, or from when to when, it was here."""
    said, owned = of.statement, of.book.ownerships[-1] if of.book.ownerships else None
    start = since(said.since)
    if said.since is None and said.recorded is not None:
        start = t("no_date", recorded=written(said.recorded))
    if owned is not None and owned.left_by is not None:
        return t("period.from_to", since=start, until=since(owned.until))
    return t("period.since", since=start)


def _not_done(said: Statement) -> str:
    """The headings under which nothing was done, save for what may hide in a step that is not settled."""
    *first, last = [t(f"work.{each.value}") for each in said.not_done] or [""]
    names = t("or", first=", ".join(first), last=last) if first else last
    open_ones = sum(len(steps) for heading, steps in said.done if heading is Heading.NOT_SETTLED)
    return t.n("unless", open_ones, headings=names) if names and open_ones else names


def statement_section(of: Told) -> Section:
    """Every step under its heading, what was not done here, and what is not known."""
    said = of.statement
    period = _period(of)
    blocks: list[Block] = [Words((t("statement.done" if said.steps else "statement.nothing", period=period),))]
    blocks += [Work(heading.label, _lines(of, steps)) for heading, steps in said.done]
    if said.signed:
        blocks += [Words((t("statement.signed"),)), Words(_lines(of, said.signed), listed=True)]
    not_done = _not_done(said)
    blocks.append(Words((t("statement.not_done", period=period, headings=not_done),)) if not_done else _all_done())
    blocks += [Words((t("statement.before"),)), Words(tuple(_not_known(of)), listed=True)]
    return Section("statement", t("statement.title"), tuple(blocks))


def _all_done() -> Words:
    return Words((t("statement.all_done"),))


def _lines(of: Told, steps: Sequence[Step]) -> tuple[str, ...]:
    events = {moment.entry.seq: event for moment, event in of.of(Intervention)}
    later = of.after_hand_over
    return tuple(line for each in steps for line in step(each.seq, events[each.seq], later=each.seq in later))


def _not_known(of: Told) -> Iterator[str]:
    """What nobody here can say, and what others said of it."""
    said = of.statement
    for moment, event in of.of(Purchase):
        yield from _before(moment.entry.seq, event)
    for heading, steps in said.done:
        for each in steps if heading is Heading.NOT_SETTLED else ():
            yield t("statement.not_settled", title=each.title, seq=each.seq)
    for away in said.away:
        yield t("statement.away", since=since(away.since), until=since(away.until))
    hands = sorted(moment.entry.seq for moment, _ in (*of.of(Custody), *of.of(Submission)))
    if hands:
        yield t.n("statement.other_hands", len(hands), entries=every(hands))
    if said.since and said.recorded and said.recorded.date() - said.since.latest_day > FROM_MEMORY:
        yield t("statement.memory", since=day(said.since), recorded=written(said.recorded))
    if said.earlier_records:
        yield t.n("statement.records", said.earlier_records)


def _before(seq: int, event: Purchase) -> Iterator[str]:
    """What a coming in leaves unknown, and what was said of it then."""
    back, words = event.means is Means.CAME_BACK, event.earlier_work_words
    if back:
        yield t("statement.came_back", when=since(event.on), seq=seq)
    else:
        said = event.earlier_work.value.replace(" ", "_")
        yield t(f"seller.{said}", when=day(event.on), seq=seq, means=event.means.value)
    if words.value is not None or (words.state is not SealState.OPEN and not back):
        yield t("seller.words", seq=seq, words=sealed(words))

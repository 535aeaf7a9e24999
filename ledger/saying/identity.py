"""Which book it is, whose it is since when, and how that was told."""

from collections.abc import Iterator

from ledger.events._parts import Holding, Issue
from ledger.events.identification import Identification
from ledger.proof.sheet import Block, Facts, Section, Words
from ledger.saying.spelling import day, known, since
from ledger.saying.told import Told
from ledger.saying.wording import t
from ledger.when import When

__all__ = ["identity", "title_of"]


def title_of(of: Told) -> str:
    """The book as a title."""
    return str(of.book.issue) if of.book.issue else t("unnamed", number=of.book.no)


def identity(of: Told) -> Section:
    """What was printed, in which holder it is, since when the collection has it."""
    blocks: list[Block] = [Facts((*_printed(of.book.issue), *_copy(of)))]
    told_by = [
        t("identity.told_by", when=day(event.on), seq=moment.entry.seq, how=event.how)
        for moment, event in of.of(Identification)
    ]
    if told_by:
        blocks.append(Words(tuple(told_by), listed=True))
    return Section("identity", t("identity.title"), tuple(blocks))


def _printed(issue: Issue | None) -> Iterator[tuple[str, str]]:
    """What is known of the issue; the two that are always asked for are said to be unknown where they are."""
    yield t("identity.series"), known(issue and issue.title)
    yield t("identity.number"), known(issue and issue.number)
    if issue is None:
        return
    said: tuple[tuple[str, object], ...] = (
        ("start_year", issue.start_year),
        ("publisher", issue.publisher),
        ("cover_date", issue.cover_date and issue.cover_date.label()),
        ("printing", issue.printing),
        ("variant", issue.variant),
    )
    for name, value in said:
        if value is not None:
            yield t(f"identity.{name}"), str(value)
    unknown = [t(f"identity.{name}").lower() for name, value in said if value is None]
    if unknown:
        yield t("not_known_of"), ", ".join(unknown)


def _copy(of: Told) -> Iterator[tuple[str, str]]:
    book = of.book
    yield t("identity.holding"), _holding(book.holding, book.holder_number)
    owned = book.ownerships[-1] if book.ownerships else None
    if owned is not None:
        yield t("identity.since"), t("dated", when=day(owned.since), seq=owned.taken_by)
        if owned.left_by is not None:
            yield t("identity.left"), t("dated", when=day(owned.until), seq=owned.left_by)
    if len(book.ownerships) > 1:
        before = (f"{since(each.since)}, {day(each.until)}" for each in book.ownerships[:-1])
        yield t("identity.owned_before"), "; ".join(before)
    yield t("identity.ledger"), t("identity.of_ledger", number=book.no, collection=of.collection)
    yield t("identity.made"), When.of_day(of.made).label()


def _holding(holding: Holding | None, number: str | None) -> str:
    if holding is Holding.SLABBED:
        return t("identity.slabbed", number=known(number))
    return t("identity.raw") if holding is Holding.RAW else t("not_known")

"""The insurance schedule and the loss report in words, as sections for the page and for paper alike."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from ledger.rules.cost_lines import Worth
from ledger.usecases.insurance import Insured, LossReport, Schedule, Short
from web.filters import money, tally, when
from web.money_told import cost_of, named, valued
from web.report_parts import Facts, Section, Words, known, table
from web.report_told import report_told
from web.wording import t

__all__ = ["loss_told", "schedule_told"]

_HEAD = ("no", "book", "grade", "number", "value", "cost", "photographs")
_OF_THE_BOOK = ("book", "look", "marks", "photographs", "ledger")
"""Parts of the condition report that a loss report has too."""


def schedule_told(found: Schedule) -> tuple[Section, ...]:
    """Every book, and what may be insured for too little."""
    without = sum(each.value is None for each in found.books)
    is_known = not found.books or without < len(found.books)
    facts = [
        (t("money.insurance.on"), when(found.on.isoformat())),
        (t("money.insurance.total"), money(found.total) if is_known else t("frame.not_known")),
        (t("money.insurance.books"), tally(len(found.books))),
        (t("money.insurance.without"), tally(without)),
    ]
    if found.not_counted:
        facts.append((t("money.insurance.not_counted"), tally(found.not_counted)))
    head = (t(f"money.insurance.{name}") for name in _HEAD)
    rows = (tuple(_row(each)) for each in found.books)
    none = [str(each.row.no) for each in found.books if Short.NONE in each.short]
    short = tuple(
        t("money.insurance.short_line", no=each.row.no, book=named(each.row), why=why)
        for each in found.books
        for why in _why(each)
    )
    if none:
        short = (*short, t.n("money.insurance.without_line", len(none), nos=", ".join(none)))
    return (
        Section("summary", t("money.insurance.summary"), (Facts(tuple(facts)),)),
        Section("books", t("money.insurance.list"), (table("", head, rows, t("money.insurance.none")),)),
        Section(
            "short",
            t("money.insurance.short"),
            (Words(short or (t("money.insurance.short_none"),), listed=bool(short)),),
        ),
        _advice(),
    )


def loss_told(found: LossReport, at_hand: Mapping[int, str]) -> tuple[Section, ...]:
    """What happened, what the book was worth before, and by what it is known again."""
    loss = found.loss
    market, insurance = (loss.market, loss.insurance) if loss else (found.market, found.insurance)
    values = ((t("money.loss.market"), _worth(market)), (t("money.loss.insurance"), _worth(insurance)))
    parts = {each.id: each for each in report_told(found.of, at_hand)}
    return (
        Section(
            "loss", t("money.loss.what"), (Facts(tuple(_what(found))) if loss else Words((t("money.loss.none"),)),)
        ),
        Section("values", t("money.loss.values" if loss else "money.loss.values_now"), (Facts(values),)),
        *(_told(parts[name]) for name in _OF_THE_BOOK),
        _advice(),
    )


def _told(section: Section) -> Section:
    """A part of the condition report without what it says of itself."""
    if section.id != "book":
        return section
    purpose = t("report.book.purpose")
    kept = [
        replace(block, rows=tuple(row for row in block.rows if row[0] != purpose))
        for block in section.blocks
        if isinstance(block, Facts)
    ]
    return replace(section, blocks=tuple(kept))


def _advice() -> Section:
    return Section("advice", t("money.advice_title"), (Words((t("money.advice_insurance"),)),))


def _row(each: Insured) -> Iterator[str]:
    row = each.row
    yield str(row.no)
    yield named(row)
    yield row.grade_as_written or t("money.insurance.no_grade")
    yield row.holder_number or t("money.insurance.no_number")
    yield _worth(each.value)
    yield cost_of(each.costs) if each.costs is not None else t("frame.not_known")
    yield tally(len(each.photographs))


def _why(each: Insured) -> Iterator[str]:
    for short in each.short:
        match short:
            case Short.NONE:
                continue
            case Short.MARKET:
                yield t("money.insurance.why.market", amount=money(each.missing))
            case Short.OUT:
                yield t("money.insurance.why.out", amount=money(each.out_for))
            case Short.OLD:
                yield t("money.insurance.why.old", when=when(each.value.valid_until if each.value else None))


def _what(found: LossReport) -> Iterator[tuple[str, str]]:
    loss = found.loss
    if loss is None:
        return
    event = loss.moment.event
    yield t("money.loss.what"), event.summary()
    yield t("money.loss.when"), when(event.on)
    yield t("money.loss.told"), t("report.dated", when=when(event.on), seq=loss.seq)
    yield t("money.loss.number"), known(loss.holder_number)
    yield t("money.loss.paid"), money(loss.paid)


def _worth(worth: Worth | None) -> str:
    return valued(worth) if worth is not None else t("money.loss.no_value")

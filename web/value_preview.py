"""A table of sales as it was read, before it is kept: row by row, with what is wrong and what is likely told twice."""

from dataclasses import dataclass

from ledger.errors import Problem
from ledger.market import KeptSale
from ledger.sale_table import RowRead
from ledger.usecases import comparables as work
from web.filters import money, when
from web.frame import Place
from web.posted import Posted
from web.render import Page, page
from web.sender import Sender
from web.value_forms import MARK_WAYS, ORDER_WAYS, reading_of, table_of
from web.value_subject import Subject
from web.value_told import sale_name
from web.wording import t

__all__ = ["PreviewPage", "RowLine", "preview_page"]


@dataclass(frozen=True, kw_only=True)
class RowLine:
    """One row: what was read of it, and what stands in its way."""

    number: int
    on: str
    grade: str
    price: str
    where: str
    holding: str
    tone: str
    faults: tuple[str, ...]
    double: str
    """What it likely repeats; empty for nothing."""


@page("value_preview.html")
@dataclass(frozen=True, kw_only=True)
class PreviewPage(Page):
    """The table as it would be kept."""

    subject: Subject
    text: str
    came: str
    columns: tuple[str, ...]
    rows: tuple[RowLine, ...]
    doubles: int
    problems: tuple[Problem, ...]
    whole: tuple[str, ...]
    """What is wrong with the table as a whole."""
    orders: tuple[tuple[str, str], ...]
    marks: tuple[tuple[str, str], ...]
    order: str
    mark: str
    currency: str


def preview_page(by: Sender, subject: Subject, posted: Posted) -> PreviewPage:
    """What was pasted or sent, read.

    Raises: InvalidError for a file that cannot be decoded.
    """
    assert subject.issue is not None  # a table is of an issue
    text, file = table_of(posted)
    reading = reading_of(by.ledger, by.preferences, posted)
    found = work.preview(by.ledger, by.actor, subject.issue, text, reading)
    kept = {each.id: each for each in work.look_at_sales(by.ledger, by.actor, subject.issue)}
    doubles = found.doubles or {}
    table = found.table
    return PreviewPage(
        frame=by.frame.at(Place.COLLECTION),
        subject=subject,
        text=text,
        came="file" if file else "",
        columns=tuple(t("value.passed_over") if each is None else t(f"value.fields.{each}") for each in table.columns),
        rows=tuple(_line(row, table.problems, doubles.get(row.number, ""), kept) for row in table.rows),
        doubles=len(doubles),
        problems=table.problems,
        whole=tuple(each.sentence for each in table.problems if not each.field.startswith("rows.")),
        orders=ORDER_WAYS,
        marks=MARK_WAYS,
        order=posted.get("order"),
        mark=posted.get("marks"),
        currency=posted.get("currency"),
    )


def _line(row: RowRead, problems: tuple[Problem, ...], double: str, kept: dict[str, KeptSale]) -> RowLine:
    read, said = row.read, row.said
    at = f"rows.{row.number}."
    return RowLine(
        number=row.number,
        on=when(read.on) if read.on else said.on or t("frame.not_known"),
        grade=read.grade.text if read.grade else said.grade or t("frame.not_known"),
        price=money(read.price) if read.price else said.price or t("frame.not_known"),
        where=read.where,
        holding=t(f"value.holding.{read.holding.value.replace(' ', '_')}"),
        tone=read.tone,
        faults=tuple(each.sentence for each in problems if each.field.startswith(at)),
        double=_double(double, kept),
    )


def _double(of: str, kept: dict[str, KeptSale]) -> str:
    if not of:
        return ""
    return t("value.repeats_kept", sale=sale_name(kept[of])) if of in kept else t("value.repeats_row", row=of)

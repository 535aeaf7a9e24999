"""The form by which a whole book is withdrawn, because it is the same copy as another one here."""

from dataclasses import replace
from typing import Final

from ledger.book import Status
from ledger.ports import Ledger
from ledger.views import BookRow
from web import series
from web.form_fields import Leaf, Option, Part, Way
from web.form_layout import only
from web.forms import Form
from web.wording import t

__all__ = ["the_same_copy"]

FIELDS: Final = ("on", "same_as", "reason")


def the_same_copy(ledger: Ledger, form: Form, row: BookRow) -> Form:
    """The form, with the other copies of the same number to choose from; where there is none, an id is typed."""
    with ledger.log.read() as reader:
        copies = series.known(reader, row.title).of_number(row.number).rows
    others = [each for each in copies if each.book != row.book and each.status != Status.DUPLICATE.value]
    return replace(form, parts=tuple(_choosing(part, others) for part in only(form.parts, FIELDS)))


def _choosing(part: Part, others: list[BookRow]) -> Part:
    if not isinstance(part, Leaf) or part.name != "same_as":
        return part
    if not others:
        return replace(part, needed=True, note=t("new_entry.same_as.none"))
    options = tuple(Option(each.book, _told(each), each.book) for each in others)
    return replace(part, needed=True, way=Way.CHOOSE, options=options, note="")


def _told(row: BookRow) -> str:
    return t("new_entry.same_as.copy", title=row.title, number=row.number, state=row.state)

"""The form of a lot: what was paid for all of it, and a row for each of its books."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final, cast

from ledger.errors import InvalidError, Problem
from ledger.events._parts import Holding, usual_opinion
from ledger.events.purchase import Purchase
from ledger.ports import Codec
from ledger.proof.canonical import Plain
from ledger.usecases.lots import LOT_MOST, NOT_TOGETHER, PAID, LotBook, LotSaid
from web.form_fields import Group, Leaf, Part, Rows, Way
from web.form_layout import only
from web.form_parts import parts_of
from web.form_reading import Heard, Typed, read_parts
from web.form_showing import Shown, View, shown
from web.form_values import Habits
from web.share_field import share_field, whole_of
from web.wording import t

__all__ = ["BOOKS", "FIRST_TITLE", "read_lot", "shown_lot"]

BOOKS: Final = "books"
FIRST_TITLE: Final = f"{BOOKS}.0.issue.title"
FIRST: Final = ("on", "price")
LATER: Final = ("premium", "tax", "shipping", "seller", "venue", "means", "expects_arrival")
_SIZES: Final = {"issue.title": "long", "on": "", "price": ""}
_ROW: Final = ("issue.title", "issue.number", "stated.as_written", "holding", "holder_number", "share")
"""The fields of a book in the order in which they are typed."""


def read_lot(typed: Typed, habits: Habits, codec: Codec) -> tuple[LotSaid | None, Heard]:
    """What was typed of a lot, rows left blank not among it; None where something cannot be read, told in `problems`.

    A grade stated for a slabbed book is a grading service's, any other the seller's.
    """
    heard = Heard(habits=habits)
    plain = read_parts((*_common(), _books(flat=False)), typed, heard)
    if heard.problems:
        return None, heard
    rows = [cast("dict[str, Plain]", row) for row in cast("list[Plain]", plain.pop(BOOKS, []))]
    shares = [whole_of(row.pop("share", None)) for row in rows]
    try:
        books = _read_books(rows, codec)
        common = _read({**plain, "issue": {"title": "a lot", "number": "1"}}, codec)
    except InvalidError as error:
        heard.problems += heard.placed(error.problems)
        return None, heard
    return _said(common, books, shares), heard


def shown_lot(view: View) -> tuple[tuple[Shown, ...], Shown, tuple[Shown, ...]]:
    """Day and price, then the books, then what may be left out."""
    parts = _common()
    (books,) = shown((_books(flat=True),), view)
    return shown(tuple(only(parts, FIRST)), view), books, shown(tuple(only(parts, LATER)), view)


def _common() -> tuple[Part, ...]:
    """What is asked of the whole lot; the ways in which a book comes by itself are not among the answers."""
    return tuple(_whole(each) for each in only(parts_of(Purchase), (*FIRST, *LATER)))


def _whole(part: Part) -> Part:
    assert isinstance(part, Leaf)
    title, size = t(f"lot.labels.{part.name}"), _SIZES.get(part.name, part.size)
    note = t(f"lot.notes.{part.name}") if part.name in ("price", "means") else ""
    options = tuple(each for each in part.options if each.value not in NOT_TOGETHER)
    return replace(part, title=title, size=size, note=note, options=options)


def _books(*, flat: bool) -> Rows:
    """The rows; flat to be shown, with every field by its whole path, else as they are read."""
    bought = parts_of(Purchase)
    parts = tuple(_named(each) for each in only(bought, _ROW)) if flat else tuple(_nested(bought))
    row = Group(name="", title=t("lot.book"), parts=(*parts, share_field()), optional=True, of="LotBook")
    return Rows(name=BOOKS, title=t("lot.books"), note=t("lot.books_note"), row=row, needed=True, most=LOT_MOST)


def _nested(bought: Sequence[Part]) -> Iterator[Part]:
    for each in only(bought, ("issue", "stated", "holding", "holder_number")):
        names = [name.partition(".")[2] for name in _ROW if name.startswith(f"{each.name}.")]
        yield replace(each, parts=tuple(only(each.parts, names))) if isinstance(each, Group) else each


def _named(part: Part) -> Part:
    assert isinstance(part, Leaf)
    title = t(f"lot.labels.{part.name.rpartition('.')[2]}")
    way = Way.PICK if part.options else part.way
    return replace(part, title=title, note="", way=way, size=_SIZES.get(part.name, "short"))


def _read_books(rows: Sequence[dict[str, Plain]], codec: Codec) -> list[Purchase]:
    """Each book as a purchase of its own.

    Raises: InvalidError with every problem of all rows.
    """
    read: list[Purchase] = []
    found: list[Problem] = []
    for place, row in enumerate(rows):
        stated = row.get("stated")
        if isinstance(stated, dict):
            stated["opinion_of"] = usual_opinion(Holding(str(row.get("holding") or Holding.NOT_STATED))).value
        try:
            read.append(_read(row, codec))
        except InvalidError as error:
            found += [replace(each, field=f"{BOOKS}.{place}.{each.field}") for each in error.problems]
    if found:
        raise InvalidError(problems=tuple(found))
    return read


def _read(plain: Mapping[str, Plain], codec: Codec) -> Purchase:
    event = codec.read(Purchase.kind, plain)
    assert isinstance(event, Purchase)
    return event


def _said(common: Purchase, books: Sequence[Purchase], shares: Sequence[int | None]) -> LotSaid:
    paid: dict[str, Any] = {name: common.sealed_fields()[name].value for name in PAID}
    return LotSaid(
        **paid,
        on=common.on,
        means=common.means,
        expects_arrival=common.expects_arrival,
        seller=common.seller.value,
        venue=common.venue.value,
        books=tuple(
            LotBook(
                issue=each.issue,
                holding=each.holding,
                holder_number=each.holder_number,
                stated=each.stated,
                share=share,
            )
            for each, share in zip(books, shares, strict=True)
        ),
    )

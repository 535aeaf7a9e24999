"""What a row of somebody's spreadsheet can say of a book, and what people write over such a column."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ledger.rows import folded

__all__ = ["AMOUNTS", "BY_NAME", "DAYS", "FIELDS", "NEEDED", "REPEATED", "Field", "named"]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One thing a column can say: its name here, its title for people, and what is written over such columns."""

    name: str
    title: str
    names: tuple[str, ...]


def _field(name: str, title: str, names: str) -> Field:
    return Field(name=name, title=title, names=(title.casefold(), *names.split(", ")))


FIELDS: Final[tuple[Field, ...]] = (
    _field(
        "title",
        "Series title",
        "title, series, comic, comics, comic book, comic title, comic name, book title, series name, name of series, title "
        "of series, book, name",
    ),
    _field(
        "number",
        "Number",
        "no, no., nr, nr., #, num, issue, issue number, issue no, issue no., issue num, issue nr, issue nr., number "
        "of issue",
    ),
    _field(
        "title_number",
        "Title and number",
        "title & number, title/number, title #, title no, title/issue, title and issue, series #, series/number, "
        "item, description, what",
    ),
    _field(
        "copies",
        "Copies",
        "qty, qty., quantity, copies owned, qty owned, quantity owned, copies held, qty in collection, copy count, "
        "number of copies, no. of copies, # of copies, how many, count",
    ),
    _field("here", "Is here", "have, have it, own, own it, owned, got, got it, in collection, status"),
    _field(
        "gone",
        "Sold or wanted",
        "sold, sold on, date sold, sold date, sale date, date of sale, sold to, sold for, sold price, sold at, sold via, "
        "sold where, sold amount, price sold, price sold for, sale price, sales price, selling price, year sold, "
        "sold/traded, sold or traded, traded to, traded away, given to, given away, gifted to, donated, donated to, lost, "
        "stolen, disposed, disposed of, disposal, date disposed, date of disposal, gone, date gone, want, wanted, wants, "
        "want it, want list, wantlist, wish list, wishlist, need, needed, need it",
    ),
    _field("start_year", "Series start year", "start year, series year, volume year, series began, began"),
    _field("publisher", "Publisher", "pub, publ, publ., published by, publishers"),
    _field(
        "cover_date",
        "Cover date",
        "published, publication date, date of issue, issue date, year, cover year, pub date, pub. date, pub "
        "year, publication year, date published, year published, month and year",
    ),
    _field("printing", "Printing", "print, printing no"),
    _field("variant", "Variant", "cover variant, variant cover, edition, version"),
    _field("holding", "Raw or slabbed", "raw/slabbed, slabbed/raw, raw or slab, holder, holding, slabbed, slab"),
    _field(
        "holder_number",
        "Holder number",
        "holder or certificate number, certificate number, certificate no, cert, cert., cert no, cert. no, cert. "
        "no., cert number, holder #, holder no, holder no., holder nr, holder nr., "
        "certification number, certificate, slab number, label number, serial, serial number, "
        "serial no, slab #, slab no",
    ),
    _field(
        "grade",
        "Stated grade",
        "grade, grade as written, condition, condition/grade, grade/condition, overall grade, cond, cond.",
    ),
    _field("stated_by", "Grade stated by", "stated by, graded by, grader, service"),
    _field(
        "on",
        "Bought on",
        "bought, purchase date, date bought, bought date, day bought, purchased on, date of purchase, acquisition "
        "date, date of acquisition, date purchased, purchased, acquired, acquired on, date acquired, date, when, "
        "when bought, year bought, year acquired, year purchased, day",
    ),
    _field("means", "How it came", "how, means, acquired by, how acquired, way"),
    _field(
        "price",
        "Price paid",
        "price, paid, cost, purchase price, amount paid, price i paid, purchase cost, cost price, acquisition cost, "
        "acquisition price, buy price, bought price, amt paid, paid price, price each, cost each, paid each, unit price, "
        "unit cost, bought for, amount, what i paid, what we paid, what was paid",
    ),
    _field("currency", "Currency", "currency code, ccy, cur, code"),
    _field("premium", "Premium", "buyer's premium, buyers premium, fees, fee"),
    _field("tax", "Tax", "sales tax, vat"),
    _field("shipping", "Shipping", "postage, p&p, post, shipping cost"),
    _field(
        "seller",
        "Seller",
        "bought from, purchased from, acquired from, who from, from, from whom, dealer, vendor, source",
    ),
    _field(
        "venue",
        "Venue",
        "where, where bought, where purchased, place of purchase, bought where, store, bought at, shop, site",
    ),
    _field("reason", "Reason", "why, why bought"),
    _field(
        "place",
        "Place",
        "location, box, where kept, where stored, where it is, kept at, stored in, box no, box no., box number, "
        "kept in, stored, storage, shelf, drawer",
    ),
    _field(
        "value",
        "Value",
        "current value, value now, value today, present value, today's value, current worth, estimated value, est "
        "value, worth now, now worth, worth today, current market value, fmv, appraised value, worth, "
        "market value, fair market value, estimate, est. value",
    ),
    _field(
        "value_on",
        "Valued on",
        "valued, value date, date of value, date valued, valuation date, date of valuation, value as of, as of",
    ),
    _field("note", "Note", "notes, comment, comments, remark, remarks"),
    _field(
        "id",
        "Own number",
        "id, own id, ref, reference, inventory number, inventory no, inv no, inv. no., catalogue number, catalogue "
        "no, record, record id, my number",
    ),
)
"""In the order in which a form offers them. Source of the names over columns: common practice, no source."""

REPEATED: Final = ("gone",)
"""What several columns may say: a book that was sold, by its day or by its price, and one that is wanted."""
NEEDED: Final = ("title", "number")
"""Without these a row is no book; both may stand in one column."""
AMOUNTS: Final = ("price", "premium", "tax", "shipping", "value")
DAYS: Final = ("on", "value_on", "cover_date")
_NUMBERED: Final = frozenset({"number", "copies", "printing", "holder_number", "place", "id"})
"""What may have # behind its name; behind others it makes a count or a running number of it."""
_NOT_ASKED: Final = frozenset({"holder_number", "variant", "id"})
"""A question over a column is answered with yes or no, and so these are not said by it."""

BY_NAME: Final[Mapping[str, Field]] = {each.name: each for each in FIELDS}
_BY_WORDS: Final[Mapping[str, str]] = {words: each.name for each in FIELDS for words in each.names}


def named(head: str) -> str | None:
    """The field that a line over a column names, whatever case and marks it has; None where it names none."""
    plain = folded(head.replace("_", " ")).strip(" :*")
    is_asked = plain.endswith("?")
    plain = plain.strip(" :*?")
    found = _BY_WORDS.get(plain) or _BY_WORDS.get(plain.rstrip(".").strip())
    if found is None:
        bare = _BY_WORDS.get(plain.rstrip(".#").strip())
        found = bare if bare in _NUMBERED else None
    return None if is_asked and found in _NOT_ASKED else found

"""One row as somebody wrote it, read leniently field by field, and shown as it was read; each problem at its field."""

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Final, Literal, TypeVar, cast

from ledger.errors import Problem
from ledger.events._parts import StatedGrade
from ledger.importing import whole_row
from ledger.importing.cells import NOT_KNOWN, short_of, text_of, unread
from ledger.importing.cells import READERS as CELL_READERS
from ledger.importing.days import day_of
from ledger.importing.fields import AMOUNTS, BY_NAME, DAYS
from ledger.importing.heads import Head
from ledger.importing.loose import Loose, noted, settle
from ledger.importing.loose_amounts import CODE, by_sign, codes_by_sign, currency_named, plain_amount
from ledger.importing.one_line import parted
from ledger.importing.several import DITTO, SEVERAL_READERS, gone_of
from ledger.importing.tables import MERGED, NOT_WORKED_OUT, Over
from ledger.importing.whole_row import Books, Several, Untitled
from ledger.money import AmbiguousAmountError, Money, read_shown_amount
from ledger.proof.report import MalformedError
from ledger.rules.currencies import currencies
from ledger.spreadsheet_cells import cell as written
from ledger.spreadsheet_cells import read_cell
from ledger.when import AmbiguousDateError, When

__all__ = ["ASK_CURRENCY", "ASK_MARKS", "ASK_ORDER", "RowRead", "RowReader", "Ways"]

ASK_ORDER: Final = "ask.order"
"""Rule of a problem that goes away once it is said which number of a date is the day."""
ASK_MARKS: Final = "ask.marks"
"""Rule of a problem that goes away once it is said which mark is the decimal one."""
ASK_CURRENCY: Final = "ask.currency"
"""Rule of a problem that goes away once the currency of all amounts that name none is said."""

_READERS: Final = {**CELL_READERS, **SEVERAL_READERS}
_NO_CURRENCY: Final = "An amount without a currency"
_SAY_CURRENCY: Final = "Say once for the whole file which it is, or write its three letters beside the amount."
_FAULT: Final = re.compile(
    rf"#(?:N/A|REF!|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!)|{NOT_WORKED_OUT}.*", re.IGNORECASE
)
"""What a spreadsheet shows where it could work nothing out. Source: ECMA-376 part 1 section 18.17.3; the two last of its
words are common practice, no source."""
_UNSEEN: Final = re.compile("[\u00ad\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff]")
"""Characters that nobody sees, as pages of the web have them between letters; nobody could take them out by hand."""
_NO_HEAD: Final = Head()
_REMEMBERED: Final = 20_000
"""Readings that are kept to be used again; beyond it they are all let go."""
T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class Ways:
    """By what dates and amounts are read, for a whole file."""

    day: date
    """The day it is read on: nothing was bought later."""
    currency: str | None = None
    """Of amounts that name none."""
    marks: Literal["1,234.50", "1.234,50"] | None = None
    order: Literal["dmy", "mdy", "ymd"] | None = None
    several: Several | None = None
    """Of rows that speak of several books."""
    here: Literal["yes", "no"] | None = None
    """Of rows that say nothing in a column of what is here."""
    untitled: Untitled | None = None
    """Of rows without a title."""


@dataclass(frozen=True, kw_only=True)
class RowRead:
    """One row: its number in the file, what was written by field, what was read of it, and what is wrong."""

    number: int
    said: Mapping[str, str]
    read: Mapping[str, Any]
    problems: tuple[Problem, ...] = ()
    kept: tuple[tuple[str, str], ...] = ()
    """Words that say more than what was read of them, by field; they stand in the note."""
    books: Books = ()
    """Of each book that it stands for the number; empty for the one that it is."""
    aside: str = ""
    """The words by which it says that no such book is here; empty where it does not."""

    @property
    def shown(self) -> dict[str, str]:
        """Each field as it was read, for people."""
        return {name: _shown(value) for name, value in self.read.items() if value is not None}


@dataclass
class RowReader:
    """Reads the rows of one file, the columns being these fields.

    Keeps: it reads every cell or says what is wrong with it; nothing is passed over in silence but cells that say that
    something is not known, and columns that are no field.
    """

    fields: Sequence[str | None]
    ways: Ways
    heads: Mapping[str, Head] = field(default_factory=dict)
    """What stands over the column of each field; it goes before what is said for the whole file."""
    _seen: dict[tuple[str, str, str | None], Any] = field(default_factory=dict)

    def read(self, number: int, cells: Sequence[str], mends: Mapping[str, str] | None = None) -> RowRead:
        """One row; `mends` are the fields that were written anew."""
        pairs = zip(self.fields, cells, strict=False)
        said = {name: plain(_bare(cell, name)) for name, cell in pairs if name is not None}
        if self.fields.count("gone") > 1:
            all_of = (cell for name, cell in zip(self.fields, cells, strict=False) if name == "gone")
            said["gone"] = gone_of(plain(_bare(cell, "gone")) for cell in all_of)
        said |= {name: plain(text) for name, text in (mends or {}).items() if name in BY_NAME}
        in_line = parted(said, self.fields).items()
        said |= {name: text for name, text in in_line if name == "title_number" or name not in (mends or {})}
        problems: list[Problem] = []
        read: dict[str, Any] = {}
        loose: list[tuple[str, Loose]] = []
        for name, text in said.items():
            if text.casefold() in NOT_KNOWN:
                continue
            try:
                found = self._one(name, text, said)
            except MalformedError as error:
                problems.append(_problem(name, error))
                continue
            if isinstance(found, Loose):
                loose.append((name, found))
            else:
                read[name] = found
        kept = settle(loose, read, problems) if loose else ()
        row = RowRead(number=number, said=said, read=read, kept=kept)
        return self._whole(row, read, problems, is_over=isinstance(cells, Over))

    def _whole(self, row: RowRead, read: dict[str, Any], problems: list[Problem], *, is_over: bool) -> RowRead:
        """What its cells come to together."""
        whole_row.apart(read)
        if at := whole_row.of_sums_at(row.said):
            return replace(row, problems=(Problem(field=at, sentence=whole_row.OF_SUMS),))
        whole_row.complete(read, problems)
        if "title" in self.fields:
            whole_row.about_title(row.said, problems, self.ways.untitled)
        if "here" in self.fields:
            whole_row.about_here(read, problems, self.ways.here)
        books, shared = whole_row.named_books(row.said, read, problems, self.ways.several)
        noted(shared, read)
        aside = whole_row.aside_of(row.said, read, problems, is_over=is_over)
        return replace(
            row, problems=() if aside else tuple(problems), kept=(*row.kept, *shared), books=books, aside=aside
        )

    def _one(self, name: str, text: str, said: Mapping[str, str]) -> Any:  # noqa: ANN401
        if _FAULT.fullmatch(text):
            raise unread(text, f"{short_of(text)} is a fault in the spreadsheet", "Write what it should say.")
        if text.casefold() in DITTO:
            raise unread(text, f"{short_of(text)} says the same as above", "Write it out.")
        if name in AMOUNTS:
            if text.startswith(MERGED):
                problem = f"{text.removeprefix(MERGED)} stands in one cell for several rows"
                raise unread(text, problem, "Write how much of it is of this book, or leave it empty.")
            named = said.get("currency")
            code = self._code(named) if named else None
            return self._again((name, text, code), lambda: self._amount(name, text, code))
        if name in DAYS:
            return self._again((name, text, None), lambda: self._day(name, text))
        if name == "currency":
            return Money.zero(self._code(text) or text).currency
        reader = _READERS.get(name)
        if reader is None:
            return text_of(name, text)
        return self._again((name, text, None), lambda: reader(text))

    def _again(self, key: tuple[str, str, str | None], work: Callable[[], T]) -> T:
        """What was read of the same text before; files say the same again and again."""
        if key not in self._seen:
            if len(self._seen) >= _REMEMBERED:
                self._seen.clear()
            try:
                self._seen[key] = work()
            except MalformedError as error:
                self._seen[key] = error
        found = self._seen[key]
        if isinstance(found, MalformedError):
            raise found
        return cast("T", found)

    def _day(self, name: str, text: str) -> When | Loose:
        order = self.heads.get(name, _NO_HEAD).order or self.ways.order
        return day_of(text, order=order, today=self.ways.day, is_printed=name == "cover_date")

    def _code(self, text: str) -> str | None:
        """The currency that a row names for its amounts; what names none is left for its problem."""
        if text.casefold() in NOT_KNOWN:
            return None
        return currency_named(text, self.ways.currency) or text.upper()

    def _amount(self, name: str, text: str, code: str | None) -> Money | Loose:
        head = self.heads.get(name, _NO_HEAD)
        usual = head.currency(self.ways.currency)
        code = head.of_row(name, text, code)
        try:
            found = self._exact_amount(text, code, usual)
        except AmbiguousAmountError:
            raise
        except MalformedError as error:
            other = plain_amount(text, code or usual)
            if other is None or (isinstance(other, Loose) and name != "price"):
                raise
            if isinstance(other, Loose):
                return other
            try:
                found = self._exact_amount(other, code, usual)
            except MalformedError as second:
                raise error if second.what == _NO_CURRENCY else second from None
        if found.minor < 0:
            raise unread(text, f"{text} is below zero", "Write what was paid, as zero or more.")
        if name == "value" and found.minor == 0:
            raise unread(text, "a value of zero says nothing", "Leave it empty.")
        return found

    def _exact_amount(self, text: str, code: str | None, usual: str | None) -> Money:
        named = CODE.search(text)
        stated = code or (None if named else by_sign(text) or usual)
        signs = codes_by_sign(text)
        if stated is not None and signs and stated not in signs:
            problem = f"{short_of(text)} is not in {stated}"
            raise unread(text, problem, f"Write the three letters of its currency beside it, like 12.50 {signs[0]}.")
        if named and named[0].upper() not in currencies():
            problem = f"{short_of(text)} says more than an amount"
            raise unread(text, problem, "Write the amount alone, and in the note what else is to be said.")
        if stated is None and not named:
            raise MalformedError(
                what=_NO_CURRENCY, problem=f"{text} does not say which currency it is in", mend=_SAY_CURRENCY
            )
        return read_shown_amount(text, currency=stated, reading=self.ways.marks)


def _bare(cell: str, name: str) -> str:
    """The cell without what only a file has before it.

    That is an apostrophe before what could be taken for a formula, as files from here have it, and the mark of a merged
    amount, where the cell is read as something else.
    """
    first = cell[:1]
    if first == "'":
        text = read_cell(cell)
        return text if written(text) == cell else cell
    return cell.removeprefix(MERGED) if first == "#" and name not in AMOUNTS else cell


def plain(text: str) -> str:
    """A cell's text in one form, with single spaces and what can be seen; lines stay apart by a space."""
    return " ".join(unicodedata.normalize("NFC", _UNSEEN.sub("", text)).split())


def _problem(name: str, error: MalformedError) -> Problem:
    if isinstance(error, AmbiguousDateError):
        return Problem(field=name, sentence=str(error), rule=ASK_ORDER)
    if isinstance(error, AmbiguousAmountError):
        return Problem(field=name, sentence=str(error), rule=ASK_MARKS)
    at = "currency" if error.what == "Currency" else name
    sentence = f"{error.problem[:1].upper()}{error.problem[1:]}. {error.mend}" if error.problem else str(error)
    return Problem(field=at, sentence=sentence, rule=ASK_CURRENCY if error.what == _NO_CURRENCY else "")


def _shown(value: object) -> str:
    match value:
        case When():
            return value.label()
        case StatedGrade():
            steps = [value.steps[0].text, value.steps[-1].text]
            is_said = all(re.search(rf"(?<![\d.]){re.escape(step)}(?!\d)", value.as_written) for step in steps)
            return value.as_written if is_said else f"{value.as_written} ({' to '.join(dict.fromkeys(steps))})"
        case _:
            return str(value)

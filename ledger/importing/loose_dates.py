"""Dates that no form takes but people write into spreadsheets: about when, a season, a part of a year, a feast.

Each is read as a stretch of time that it truly lies in; where that says less than the words did, the words are kept.
What the words leave open in more than one way is refused with the mend. Source: common practice, no source.
"""

import re
from collections.abc import Callable
from datetime import date, timedelta
from typing import Final

from ledger._written_dates import LONGEST, ends
from ledger.importing import loose_date_ways as ways
from ledger.importing.loose import Loose
from ledger.importing.loose_date_words import (
    ABOUT,
    DASH,
    DECADES,
    FEAST,
    MONTH,
    NO_DIGITS,
    OR_SO,
    QUARTER,
    SEASONS,
    SOME,
    TIME,
    UNDATED,
    WEEKDAY,
)
from ledger.when import AmbiguousDateError, When, WhenError

__all__ = ["counted_day", "loose_day"]

_COUNTED: Final = re.compile(r"[2-5]\d{4}(?:\.\d+)?", re.ASCII)
"""A day as spreadsheets count it, from 1954 to 2064. Source: ECMA-376 part 1 section 18.17.4."""
_BEFORE_ALL: Final = date(1899, 12, 30)


def counted_day(text: str) -> When | None:
    """The day, where the cell holds it as spreadsheets count days and nobody told it to show one."""
    is_count = _COUNTED.fullmatch(text) is not None
    return When.of_day(_BEFORE_ALL + timedelta(days=int(text[:5]))) if is_count else None


def loose_day(text: str, exact: Callable[[str], When], *, today: date, is_printed: bool) -> Loose | None:
    """What the words truly say; None for what cannot be read so either. `exact` reads dates that are written exactly.

    Raises: WhenError, where it is known what is wrong with them.
    """
    plain = text.casefold().replace("\u2019", "'").strip(" .,;")
    if plain in UNDATED:
        return Loose()
    found = _read(plain, ways.By(exact, today, is_printed, _read)) if len(plain) <= LONGEST else None
    return None if found is None else Loose(value=found.when, words=text if found.is_wider else "")


def _read(text: str, by: ways.By) -> ways.Found | None:
    """The first way whose form the words have decides; each reads what is left of them, which is always less."""
    try:
        return ways.Found(by.exact(text))
    except AmbiguousDateError:
        raise
    except WhenError:
        pass
    for form, way in _WAYS:
        if found := form.fullmatch(text):
            return way(found, by)
    span = ends(text)
    return None if span is None else ways.between(*span, by)


def _form(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.ASCII)


_WAYS: Final[tuple[tuple[re.Pattern[str], Callable[[re.Match[str], ways.By], ways.Found | None]], ...]] = (
    (_form(r"\((?P<rest>[^()]+)\)"), ways.inner),
    (_form(r"([0-9]{4})([0-9]{2})([0-9]{2})"), ways.compact),
    (_form(r"'?([0-9]{2})"), ways.lone),
    (_form(rf"(?:{ABOUT}) ?(?P<rest>.+)"), ways.about),
    (
        _form(rf"(?P<rest>[0-9]{{4}})(?:[-/.]{NO_DIGITS}){{1,2}}|(?P<month>[0-9]{{4}}-[0-9]{{2}})-{NO_DIGITS}"),
        ways.left_open,
    ),
    (_form(rf"(?:{NO_DIGITS}[-/.]){{1,2}}(?P<rest>[0-9]{{4}})(?P<month>)"), ways.left_open),
    (_form(r"([0-9]{3})[?x_-]|([0-9]{2})(?:\?\?|xx|--)"), ways.digits_missing),
    (_form(rf"(?P<rest>.+?)(?:{OR_SO})"), ways.about),
    (_form(rf"(?:the |in )?{SOME}(?:[- /](?:to[- ])?{SOME})?(?: of)?[- ](?P<rest>.+)"), ways.part),
    (_form(rf"(?P<rest>.*[0-9]){TIME}"), ways.timed),
    (_form(rf"{WEEKDAY} (?P<rest>.+)"), ways.weekday),
    (_form(rf"(?P<rest>.+?),? \(?{WEEKDAY}\)?"), ways.weekday),
    (
        _form(
            rf"(?P<season>{SEASONS}(?:{DASH}{SEASONS})?)(?: of|,)? (?P<rest>.+)|(?P<year>[0-9]{{4}}),? (?P<late>{SEASONS})"
        ),
        ways.season,
    ),
    (_form(rf"{QUARTER.format('a', 'b')}(?: of|,)? (?P<rest>.+)"), ways.quarter),
    (_form(rf"(?P<rest>[0-9]{{4}}),?[- ]{QUARTER.format('a', 'b')}"), ways.quarter),
    (_form(rf"{FEAST}(?: of|,)? (?P<rest>.+)"), ways.feast),
    (_form(rf"(?P<first>{MONTH})\.? ?(?:{DASH}|&|and|to) ?(?P<last>{MONTH})[.,]* ?(?P<rest>['0-9].*)"), ways.months),
    (_form(rf"([0-9]{{4}}) ?{DASH} ?'?([0-9]{{2}})"), ways.years),
    (_form(r"'?([0-9]{1,2}) ?[-./] ?'?([0-9]{2})"), ways.short_pair),
    (_form(r"(?P<first>.+?) (?:or|and|&) (?P<rest>.+)"), ways.either),
    (_form(rf"(?P<first>.*[a-z].*[0-9]{{2}}) ?{DASH} ?(?P<rest>[a-z].*[0-9]{{2}})"), ways.pair),
    (_form(rf"(?P<first>'?[0-9]+ ?'?s) ?{DASH} ?(?P<rest>'?[0-9]+ ?'?s)"), ways.pair),
    (_form(rf"(?:the )?(?:'?(?P<tens>[0-9])0 ?'?s|(?P<name>{'|'.join(DECADES)}))"), ways.decade),
    (
        _form(
            r"(?:before|prior to|until|after|since|by|pre|post)(?:[- ]|(?=[0-9]))(?P<rest>[^+]+)\+?|(?P<year>[^+]+)\+"
        ),
        ways.open_end,
    ),
    (_form(r"(?:bought|purchased|acquired|dated|year|got)(?: in| on|:)? (?P<rest>.+)"), ways.inner),
)
"""Forms of words, each with how it is read; the first that fits decides."""

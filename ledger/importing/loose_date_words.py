"""The words of dates that no form takes, as people write them; lower case. Source: common practice, no source."""

from typing import Final

from ledger._edtf import MONTHS

__all__ = [
    "ABOUT",
    "DASH",
    "DECADES",
    "FEAST",
    "FEASTS",
    "MONTH",
    "NO_DIGITS",
    "OR_SO",
    "QUARTER",
    "QUARTERS",
    "SEASONS",
    "SOME",
    "TIME",
    "UNDATED",
    "WEEKDAY",
    "WEEKDAYS",
]

DASH: Final = "[-/\u2013\u2014]"
UNDATED: Final = frozenset(
    {"n.d.", "n.d", "nd", "no date", "undated", "not dated", "0000-00-00", "00/00/0000", "1900-01-00", "1/0/1900"}
)
"""The last four are what programs make of no date at all."""
WEEKDAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
FEASTS: Final = {
    "christmas": (12, 12),
    "xmas": (12, 12),
    "x-mas": (12, 12),
    "new year's eve": (12, 12),
    "halloween": (10, 10),
    "thanksgiving": (10, 11),
    "easter": (3, 5),
    "annual": (1, 12),
    "holiday": (1, 12),
    "birthday": (1, 12),
    "my birthday": (1, 12),
}
"""The months in which a feast can lie, wherever it is kept; of what can lie in any, all. Source: common practice, no source."""
DECADES: Final = {
    **{name: tens for tens, name in enumerate(("twenties", "thirties", "forties", "fifties", "sixties"), 2)},
    "seventies": 7,
    "eighties": 8,
    "nineties": 9,
}
QUARTERS: Final = {"first": 1, "second": 2, "third": 3, "fourth": 4}
MONTH: Final = "|".join(f"{name[:3]}(?:{name[3:]})?" for name in (*MONTHS, "Sept")).casefold()
ABOUT: Final = (
    r"circa|ca\b\.?|c\b\.?|c(?=[0-9])|about|abt\b\.?|around|approximately|approx\b\.?|roughly|probably|prob\b\.?|maybe"
    r"|perhaps|possibly|i think|est\b\.?|estimated|~|\u2248"
)
OR_SO: Final = r"[?~%]+| ?\(\?+\)|-?ish| or so| or thereabouts|,? \(?(?:approx\.?|probably|maybe|i think)\)?"
SOME: Final = r"(?:very )?(?:early|mid|middle|late|beginning|start|end|(?:first|1st|second|2nd) half|h[12])"
TIME: Final = (
    r"(?:,? |t)(?P<hour>[0-9]{1,2})(?P<more>(?::[0-9]{2}){1,2}(?:\.[0-9]+)?) ?(?:(?P<half>[ap])\.?m\.?)?"
    r"(?:z|[+-][0-9]{2}:?[0-9]{2})?"
)
WEEKDAY: Final = r"(?P<day>mon|tue|wed|thu|fri|sat|sun)(?:day|s|sday|nesday|r|rs|rsday|urday)?\.?,?"
SEASONS: Final = "(?:spring|summer|autumn|fall|winter)"
NO_DIGITS: Final = r"(?:\?\?|xx|00|--|__)"
"""Stands where a day or a month is left open."""
QUARTER: Final = (
    r"(?:q(?P<{}>[1-4])|(?P<{}>[1-4](?=st|nd|rd|th| ?q)|first|second|third|fourth)"
    r"(?:st|nd|rd|th)? ?(?:q|qtr\.?|quarter))"
)
FEAST: Final = rf"(?P<feast>{'|'.join(FEASTS)})(?: day| eve| time)?"

"""Grades as people write them into spreadsheets, with what stands beside them: the tone of the pages, the holder, a doubt.

The words are kept whole with the grade; only its steps are looked for here. Source: common practice, no source.
"""

import re
from typing import Final

from ledger.events._parts import Holding
from ledger.rules.grades import Grade, read_stated

__all__ = ["grade_said"]

_HOLDINGS: Final = {
    **dict.fromkeys(("raw", "ungraded", "not graded", "unslabbed"), Holding.RAW),
    **dict.fromkeys(("slab", "slabbed"), Holding.SLABBED),
}
_HOLDING: Final = re.compile(rf"(?:^|(?<=[\s(,]))(?:{'|'.join(_HOLDINGS)})(?=$|[\s),:])")
_TONE: Final = r"(?:off[- ]?white|white|cream|tan|oww|ow|w|c)"
_PAGES: Final = re.compile(
    rf"(?<=[\w+-])[\s,]+\(?(?:wp|(?:{_TONE}(?:(?: to |/|-){_TONE})?)(?: (?:pages?|pgs?\.?|paper))?)\)?$"
)
"""The tone of the pages, in words or in their first letters, behind a grade."""
_BESIDE: Final = re.compile(r"^(?:stated )?(?:grade|condition|cond\.?)\s*:?\s+|\s+(?:grade|condition|cond\.?|copy)$")
_OUT_OF: Final = re.compile(r"\s*out of (?:10|ten)$")
_OF_TEN: Final = re.compile(r"(?!9\.9)(\d(?:\.\d)?)\s*/\s*10")
"""A step and the ten it is out of, not the steps from one to the other; of two that are neighbours nobody can tell."""
_DOUBT: Final = re.compile(r"^(?:about|approx\.?|circa|ca?\.|around|~)\s*|\s*\(?\?+\)?$")
_POINT: Final = re.compile(r"(?<=[a-z])\.")
_EMPTY_DECIMAL: Final = re.compile(r"(?<=\d\.\d)0+(?!\d)")
_NO_WHOLE: Final = re.compile(r"(?<![\d.])\.(?=\d)")
_SET_APART: Final = re.compile(r"(?<=[a-z+-])\s*[,:;]\s*(?=\d)|(?<=\d)\s*[,:;]\s+(?=[a-z])|(?<=\d)\s*[:;](?=[a-z])")
_JOINED: Final = re.compile(r"(vf|fn|f|vg|gd|g|fr)(nm|vf|fn|f|vg|gd|g)")


def grade_said(text: str) -> tuple[tuple[Grade, ...], Holding | None]:
    """The steps that the words can mean, none if they cannot be read, and the holding where they speak of that too."""
    out_of_ten = _OF_TEN.fullmatch(text.strip())
    steps = read_stated(out_of_ten[1] if out_of_ten else text)
    if steps:
        return steps, None
    plain = text.casefold().strip()
    holding = None
    if found := _HOLDING.search(plain):
        holding = _HOLDINGS[found[0]]
        rest = f"{plain[: found.start()]} {plain[found.end() :]}"
        plain = re.sub(r"\(\s*\)", "", rest).strip(" ,:")
    for form in (_PAGES, _BESIDE, _OUT_OF, _DOUBT, _POINT, _EMPTY_DECIMAL):
        plain = form.sub("", plain)
    plain = _SET_APART.sub(" ", _NO_WHOLE.sub("0.", plain)).strip()
    joined = _JOINED.fullmatch(plain)
    return read_stated(f"{joined[1]}/{joined[2]}" if joined else plain), holding if holding and _says_all(
        plain
    ) else None


def _says_all(plain: str) -> bool:
    """What is left beside the holding is nothing, or a grade."""
    return not plain or bool(read_stated(plain))

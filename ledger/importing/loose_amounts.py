"""Amounts that no form takes but people write into spreadsheets: currencies by their words, cents, nothing paid.

Each comes to an amount as `ledger.money` reads it, or is refused with the mend; what is paid about is no amount.
"""

import re
from collections.abc import Mapping
from typing import Final

from ledger._written_amounts import LONGEST, written
from ledger.events.purchase import Means
from ledger.importing.cells import MEANS, short_of, unread
from ledger.importing.loose import Loose
from ledger.rules._tables import table
from ledger.rules.currencies import currencies

__all__ = ["CODE", "by_sign", "codes_by_sign", "codes_named", "currency_named", "may_be_amount", "plain_amount"]

CODE: Final = re.compile(r"(?<![A-Za-z])[A-Za-z]{3}(?![A-Za-z])")
"""Three letters beside an amount, which may be a currency."""
_NOTHING: Final = frozenset({"free", "gratis", "nil", "nothing", "no charge", "no cost", "for free", "zero"})
_DOLLARS: Final = ("$", "dollar", "dollars", "buck", "bucks")
_POUNDS: Final = ("\u00a3", "pound", "pounds", "quid")
_EUROS: Final = ("\u20ac", "euro", "euros")
_ONE_CURRENCY: Final[Mapping[str, tuple[str, ...]]] = {
    "USD": ("us$", "us $", "usd$", "usd $", "$us", "us dollar", "us dollars", "u.s. dollars"),
    "CAD": ("ca$", "can$", "ca $", "can $", "cad$", "cad $", "cdn$", "cdn $", "canadian dollar", "canadian dollars"),
    "AUD": ("au$", "aus$", "au $", "aud$", "aud $", "australian dollar", "australian dollars"),
    "NZD": ("nz$", "nz $", "nzd$", "nzd $", "new zealand dollars"),
    "HKD": ("hk$", "hk $", "hkd$"),
    "BRL": ("r$",),
    "GBP": ("pounds sterling", "sterling", "british pounds", "gbp \u00a3", "\u00a3 gbp"),
    "EUR": ("eur \u20ac", "\u20ac eur"),
    "JPY": ("yen", "japanese yen"),
    "PLN": ("z\u0142", "zl", "zloty"),
    "CZK": ("k\u010d", "kc"),
    "HUF": ("ft", "forint"),
    "DEM": ("dm", "d-mark"),
}
_SEVERAL: Final[Mapping[str, tuple[str, ...]]] = {
    **dict.fromkeys(("kr", "kr."), ("SEK", "NOK", "DKK", "ISK")),
    "kronor": ("SEK",),
    "kroner": ("NOK", "DKK"),
    **dict.fromkeys(("fr", "sfr", "franc", "francs"), ("CHF", "FRF", "BEF", "LUF")),
    **dict.fromkeys(("rs", "rupee", "rupees"), ("INR", "PKR", "LKR", "NPR", "MUR", "SCR")),
}
"""What people call currencies, beside their signs. Source: common practice, no source."""
_PARTS: Final = re.compile(
    r"(?P<before>\D*?)\s*(?P<digits>(?:(?<![^\W\d_])\.)?\d[\d.,'\u2019 ]*?)\s*(?P<after>[^\d.,][^\d]*|)"
)
_CENTS: Final = re.compile(r"(?P<digits>\d{1,2}) ?(?:(?P<cents>\u00a2|c|ct|cts|cents?)|p|pence)\.?", re.IGNORECASE)
_NO_MORE: Final = re.compile(r"(?<=\d)[.,] ?[-\u2013\u2014]{1,2}(?!\s*\d)|\.$")
_SLASH: Final = re.compile(r"(?<=\d) ?/[-\u2013=]")
_EACH: Final = re.compile(r"(?<=\S)\s*(?:/ ?)?\b(?:each|ea|apiece)\.?$", re.IGNORECASE)
_ROUGH: Final = re.compile(
    r"(?:~|\u2248|about|approx|around|roughly|maybe|circa|ca?\.|est)\D{0,6}\d.*|[^?]*\d[^?]*\?+|\D*\d[\d.,]*\s*-?ish",
    re.IGNORECASE,
)
_ODD: Final = re.compile(r"[<>?*]")
_CIRCA: Final = re.compile(r"[Cc]a\s.*")
"""Circa too; Canadian in capital letters only."""


def currency_named(text: str, among: str | None) -> str | None:
    """The currency that a code, a sign or a word names; of several `among`, if it is one of them."""
    codes = codes_named(text)
    return codes[0] if len(codes) == 1 else among if among in codes else None


def codes_named(text: str) -> tuple[str, ...]:
    """The currencies that a code, a sign or a word can stand for."""
    code = text.strip().upper()
    return (code,) if code in currencies() else _codes(re.sub(r"[()]", "", text).strip().casefold().rstrip("."))


def by_sign(text: str) -> str | None:
    """The currency of an amount, by its first sign that can stand for any; None where that can stand for several."""
    codes = codes_by_sign(text)
    return codes[0] if len(codes) == 1 else None


def codes_by_sign(text: str) -> tuple[str, ...]:
    """The currencies that the first sign of an amount can stand for; none where it has no such sign."""
    return next(filter(None, map(_of_sign, text)), ())


def may_be_amount(text: str) -> bool:
    """It is an amount, in whichever currency it is; where nobody paid anything it is none."""
    if len(text) > LONGEST:
        return False
    bare = _SLASH.sub("", _EACH.sub("", _NO_MORE.sub("", text)).strip())
    if written(bare) is not None or _CENTS.fullmatch(bare):
        return True
    found = _PARTS.fullmatch(bare)
    return found is not None and bool(codes_named(f"{found['before']} {found['after']}"))


def plain_amount(text: str, currency: str | None) -> str | Loose | None:
    """The amount in a spelling that says the same and may be read; None for what cannot be read so either.

    `currency` is the one stated for the row or file.
    Raises: MalformedError, where it is known what is wrong with it.
    """
    plain = text.casefold().strip(" .")
    if plain in _NOTHING:
        return "0"
    if len(text) > LONGEST:
        return None
    if MEANS.get(plain, Means.BOUGHT) is not Means.BOUGHT:
        return Loose(more={"means": MEANS[plain]})
    _need_exact(text, plain)
    bare = _EACH.sub("", _NO_MORE.sub("", text)).strip()
    if _SLASH.search(bare):
        bare = _without_slash(text, bare)
    cents = _cents(bare, currency)
    if cents is not None:
        return cents
    found = _PARTS.fullmatch(bare)
    if found and found["before"].count("(") > found["before"].count(")"):
        raise unread(text, f"{text} in brackets is below zero in many tables", "Write what was paid, as zero or more.")
    unit = f"{found['before']} {found['after']}".strip() if found else ""
    if found and unit and (code := currency_named(unit, currency)):
        return f"{found['digits']} {code}"
    if len(unit) > 1 and currency is not None and _codes(unit.casefold().rstrip(".")):
        problem = f"{short_of(unit)} stands for several currencies"
        raise unread(text, problem, "Write the three letters of the one it is, like GBP.")
    return bare if bare != text else None


def _need_exact(text: str, plain: str) -> None:
    if _ROUGH.fullmatch(plain) or _CIRCA.fullmatch(text):
        mend = "Write the amount alone, and in the note that it is not exact."
        raise unread(text, f"{short_of(text)} says about how much", mend)
    if _ODD.search(text):
        mend = "Write the amount alone, and in the note what else is to be said."
        raise unread(text, f"{short_of(text)} says more than an amount", mend)


def _codes(plain: str) -> tuple[str, ...]:
    one = next((code for code, names in _ONE_CURRENCY.items() if plain in names), None)
    if one is not None:
        return (one,)
    for names in (_DOLLARS, _POUNDS, _EUROS):
        if plain in names:
            return _of_sign(names[0])
    return _SEVERAL.get(plain) or _of_sign(plain)


def _of_sign(sign: str) -> tuple[str, ...]:
    row = table("currency_signs").row(sign)
    return row.texts("codes") if row is not None else ()


def _cents(text: str, currency: str | None) -> str | None:
    """Hundredths, where the currency has what they are called."""
    found = _CENTS.fullmatch(text)
    if found is None or currency is None:
        return None
    signs = ("$", "\u20ac") if found["cents"] else ("\u00a3",)
    is_of = any(currency in _of_sign(sign) for sign in signs) and currencies()[currency].exponent == 2  # noqa: PLR2004 - hundredths
    return f"0.{int(found['digits']):02} {currency}" if is_of else None


def _without_slash(text: str, bare: str) -> str:
    """A stroke and a dash behind an amount that names its unit say "and no more"; behind a bare number, shillings too."""
    if not re.search(r"[^\W\d_]|\u00a3|\u20b9|\u20a8", bare):
        problem = f"{text} may be shillings, or an amount and no more"
        raise unread(text, problem, "Write it with its decimals, like 0.25 or 5.00.")
    return _SLASH.sub("", bare)

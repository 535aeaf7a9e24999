"""FORMAT.md sections 12 to 16: the verdict on a record in any of its forms."""

import io
import re
from collections.abc import Mapping, Sequence
from hashlib import sha256
from pathlib import Path

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from tests.proof.second.bag import need_bag, record_in, unzipped
from tests.proof.second.page import page_of, taken_from
from tests.proof.second.plain import WrongError, read, wrong
from tests.proof.second.record import Found, check, record_of
from tests.proof.second.signed import key_of

WHOLE, CONSISTENT, NOT_GOOD = "whole", "consistent", "not good"
LIST = (Path(__file__).parents[3] / "ledger" / "proof" / "words.txt").read_text("ascii").split()


def verdict(given: bytes | Mapping[str, bytes], keys: Sequence[str] = (), held: str | None = None) -> str:
    """One of three; keys are lines or eight words."""
    try:
        record, beside = taken(given)
        lines = [line for text in keys for line in ([text] if "+" in text else by_words(text, record, beside or {}))]
        found = check(record, beside, [key_of(line) for line in lines], held)
        need_form(given, record, beside or {})
    except WrongError:
        return NOT_GOOD
    if not sound(found):
        return NOT_GOOD
    return WHOLE if found.known else CONSISTENT


def sound(found: Found) -> bool:
    """Nothing was found, in no earlier record either."""
    return all(each is not None and sound(each) for each in found.earlier)


def taken(given: bytes | Mapping[str, bytes]) -> tuple[bytes, dict[str, bytes] | None]:
    """The record and what lies beside it."""
    if not isinstance(given, bytes):
        return record_in(given)
    if given.startswith(b"PK"):
        return record_in(unzipped(given))
    if given.lstrip()[:9].lower() == b"<!doctype":
        return taken_from(given)
    return (attached(given) if given.startswith(b"%PDF-") else given), None


def need_form(given: bytes | Mapping[str, bytes], record: bytes, beside: Mapping[str, bytes]) -> None:
    """The form is the one that the record gives."""
    if not isinstance(given, bytes):
        need_bag(given, record, beside)
    elif given.startswith(b"PK"):
        need_bag(unzipped(given), record, beside)
    elif given.lstrip()[:9].lower() == b"<!doctype" and page_of(record, beside) != given:
        wrong("the page is another")


def attached(given: bytes) -> bytes:
    """The one record attached to a printed sheet."""
    try:
        inside = [data for each in PdfReader(io.BytesIO(given)).attachments.values() for data in each]
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError):
        wrong("no PDF")
    found = {data for data in inside if data.startswith(b'{"collection":[')}
    if len(found) != 1:
        wrong("not one record")
    return found.pop()


def by_words(text: str, record: bytes, beside: Mapping[str, bytes]) -> list[str]:
    """Section 16: the keys that the records name and that have these words."""
    said = [word for word in re.split(r"[\s,]+", text.lower()) if word]
    if len(said) != 8 or not set(said) <= set(LIST):
        wrong("no eight words")
    bits = "".join(f"{LIST.index(word):011b}" for word in said)
    named: list[str] = []
    for data in (record, *beside.values()):
        try:
            read(data)
            named += record_of(data)["keys"]
        except WrongError:
            continue
    found = [line for line in named if f"{int(sha256(line.encode()).hexdigest(), 16):0256b}".startswith(bits)]
    return found or wrong("no key of these words")

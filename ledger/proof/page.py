"""A record as one page that opens in any browser with the network off, and checks itself as far as a page can.

The page is made from the record alone, always in the same way. So whoever checks one makes it anew and compares: there
is no place in it in which anything else could stand.
"""

import re
from base64 import b64decode, b64encode
from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Final

from ledger.proof.page_parts import article_of, escaped
from ledger.proof.record_file import RecordFile, earlier_of
from ledger.proof.report import MalformedError

__all__ = ["PAGE", "VOUCH", "open_page", "page_of", "record_in_page"]

PAGE: Final = "slipsheet-page/1"
"""How pages are made; whatever changes a page's bytes is another make, and the old one stays beside it."""

VOUCH: Final = (
    "This page can find accidents; it cannot vouch for itself. "
    "Check it with a verifier and a key that you got elsewhere."
)
_FOLDER: Final = Path(__file__).parent / "page"
_SCRIPTS: Final = ("hashes.js", "ed25519.js", "record.js", "page.js")
_HATCHES: Final = (
    '<svg width="0" height="0" aria-hidden="true"><defs>'
    '<pattern id="light" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<path class="lines" d="M0 4L4 0"/></pattern>'
    '<pattern id="dense" width="3" height="3" patternUnits="userSpaceOnUse">'
    '<path class="lines" d="M0 3L3 0M0 0L3 3"/></pattern></defs></svg>'
)


def page_of(data: bytes, beside: Mapping[str, bytes]) -> bytes:
    """The page of a record file, with the photographs and earlier records that lie beside it, by digest.

    Keeps: the same record gives the same bytes.
    Requires: everything that the record names is there
    Raises: MalformedError.
    """
    record = RecordFile.from_bytes(data)
    earlier = earlier_of(record, beside)
    articles = [article_of(record, beside, "own"), *(article_of(each, beside, "earlier") for each in earlier.values())]
    shown = {each for one in (record, *earlier.values()) for each in one.sheet.pictures}
    hidden = sorted({each.sha256 for one in (record, *earlier.values()) for each in one.pictures} - shown)
    kept = [_kept(name, beside[name]) for name in (*earlier, *hidden)]
    parts = [_head(record.sheet.title), *_vouch(), "<main>\n", *articles, "</main>\n", *_foot(data, kept)]
    return "".join(parts).encode()


_RECORD: Final = re.compile(rb'<script type="application/octet-stream" id="record">([A-Za-z0-9+/=]+)</script>')
_BESIDE: Final = re.compile(
    rb'<script type="application/octet-stream" data-sha="([0-9a-f]{64})">([A-Za-z0-9+/=]+)</script>'
)
_IMAGE: Final = re.compile(
    rb'<img data-sha="([0-9a-f]{64})" alt="[^"]*" src="data:image/(?:jpeg|png);base64,([A-Za-z0-9+/=]+)">'
)


def open_page(page: bytes) -> tuple[bytes, dict[str, bytes]]:
    """The record file in a page, and what lies beside it; the first thing of each name.

    Keeps: nothing of it is checked; making the page anew from it and comparing is.
    Raises: MalformedError.
    """
    record = record_in_page(page)
    try:
        beside: dict[str, bytes] = {}
        for name, text in (*_IMAGE.findall(page), *_BESIDE.findall(page)):
            beside.setdefault(name.decode("ascii"), b64decode(text, validate=True))
    except ValueError as error:
        raise MalformedError(what="The page", problem="what is in it is not base64", mend=_AGAIN) from error
    return record, beside


_AGAIN: Final = "Ask for the file again."


def record_in_page(page: bytes) -> bytes:
    """The record file in a page, and nothing beside it: its photographs are not unpacked.

    Raises: MalformedError.
    """
    found = _RECORD.search(page)
    if found is None:
        raise MalformedError(what="The page", problem="there is no record in it", mend=_AGAIN)
    try:
        return b64decode(found[1], validate=True)
    except ValueError as error:
        raise MalformedError(what="The page", problem="its record is not base64", mend=_AGAIN) from error


def _head(title: str) -> str:
    style, script = _style(), _script()
    policy = (
        f"default-src 'none'; img-src data:; style-src '{_source(style)}'; script-src '{_source(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n<meta name="robots" content="noindex">\n'
        f'<meta name="generator" content="{PAGE}">\n'
        f"<title>{escaped(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n{_HATCHES}\n"
    )


def _vouch() -> tuple[str, ...]:
    return (
        '<header>\n<section class="vouch" aria-labelledby="vouch">\n<h2 id="vouch">Checked or not</h2>\n',
        f"<p>{VOUCH}</p>\n",
        '<p id="verdict" role="status">Not checked here.</p>\n<ul id="found" hidden></ul>\n',
        '<form id="check" hidden>\n<p><label for="key">The key, as you got it by another way than this page</label></p>\n',
        '<p><textarea id="key" autocomplete="off" spellcheck="false"></textarea></p>\n',
        "<p><button>Check again</button></p>\n</form>\n</section>\n</header>\n",
    )


def _foot(data: bytes, kept: list[str]) -> tuple[str, ...]:
    return (
        f'<script type="application/octet-stream" id="record">{_base64(data)}</script>\n',
        *kept,
        f"<script>{_script()}</script>\n</body>\n</html>\n",
    )


def _kept(name: str, data: bytes) -> str:
    return f'<script type="application/octet-stream" data-sha="{name}">{_base64(data)}</script>\n'


def _base64(data: bytes) -> str:
    return b64encode(data).decode("ascii")


def _source(text: str) -> str:
    """How a policy names what may run. Source: Content Security Policy Level 3 section 2.3.1, hash-source."""
    return f"sha256-{_base64(sha256(text.encode()).digest())}"


@cache
def _style() -> str:
    return (_FOLDER / "style.css").read_text("utf-8")


@cache
def _script() -> str:
    """All of the check, with nothing left outside of it."""
    code = "".join((_FOLDER / name).read_text("utf-8") for name in _SCRIPTS)
    return f'(() => {{\n"use strict";\n{code}start(document);\n}})();\n'

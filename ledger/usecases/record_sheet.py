"""A record on paper: its words, its photographs in small, its digest to be compared, and the record itself in the PDF."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Final

from ledger.errors import ConflictError, MalformedError, NotFoundError, StoreError
from ledger.ports import Ledger
from ledger.proof.canonical import Plain
from ledger.proof.note import read_note
from ledger.proof.record_file import MEDIA, RECORD_FORMAT, RecordFile, digest_of
from ledger.proof.sheet import Picture, Section
from ledger.saying.paper import code_text, paper_words
from ledger.saying.wording import LANG

__all__ = ["ATTACHED", "key_named", "sheet_pdf"]

ATTACHED: Final = "record.json"
"""What the record is called in the PDF."""
CODE: Final = "code.svg"
WIDE: Final = 480
"""How wide a photograph is fetched: what it takes on paper at 300 dots an inch. Units: px."""
_SOURCE: Final = Path(__file__).parent / "sheets" / "record.typ"


def sheet_pdf(ledger: Ledger, record: bytes, beside: Mapping[str, bytes], made: datetime) -> bytes:
    """The sheet of a record, with the photographs that lie beside it, by digest.

    Keeps: the same record gives the same bytes. It says what the record says, each text in its order.
    Requires: an aware moment.
    Raises: ConflictError where no PDF can be made here; MalformedError.
    """
    if ledger.sheets is None or not ledger.sheets.at_hand:
        raise ConflictError(sentence="What makes a PDF is not installed here. Print the record's page instead.")
    file, digest = RecordFile.from_bytes(record), digest_of(record)
    key = key_named(file)
    pictures = dict(_pictures(ledger, file, beside))
    files = {ATTACHED: record, **dict(pictures.values())}
    code = ""
    if ledger.codes is not None:
        code, drawn = CODE, ledger.codes.drawn(code_text(RECORD_FORMAT, digest, key))
        files[CODE] = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawn.side} {drawn.side}">'
            f'<rect width="{drawn.side}" height="{drawn.side}" fill="#fff"/><path d="{drawn.path}"/></svg>'
        ).encode()
    sheet = file.sheet
    data: dict[str, Plain] = {
        "lang": LANG,
        "title": sheet.title,
        "lead": sheet.lead,
        "code": code,
        "sections": [_section(each, pictures) for each in sheet.sections],
        **paper_words(sheet.title, digest, key),
    }
    return ledger.sheets.pdf(_source(), data, files, made, attaches=True)


def key_named(file: RecordFile) -> str:
    """The key that is said to have signed the checkpoint: its name and, after a plus sign, its id in hexadecimal."""
    (first, *_) = read_note(file.proof.checkpoint).lines
    return f"{first.name}+{first.key_id.hex()}"


def _section(section: Section, pictures: Mapping[str, tuple[str, bytes]]) -> Plain:
    blocks: list[Plain] = []
    for block in section.blocks:
        said = block.plain()
        if isinstance(block, Picture):
            said["file"] = pictures[block.sha256][0] if block.sha256 in pictures else ""
        blocks.append(said)
    return {"id": section.id, "title": section.title, "blocks": blocks}


def _pictures(ledger: Ledger, file: RecordFile, beside: Mapping[str, bytes]) -> Iterator[tuple[str, tuple[str, bytes]]]:
    """What each photograph that is shown is called beside the sheet, and its bytes: a small copy where one is at hand."""
    media = {each.sha256: each.media for each in file.pictures}
    for number, sha in enumerate(file.sheet.pictures, 1):
        small = _small(ledger, sha)
        if small is not None:
            yield sha, (f"{number}.jpg", small)
        elif sha in beside and sha in media:
            yield sha, (f"{number}.{MEDIA[media[sha]]}", beside[sha])


def _small(ledger: Ledger, sha: str) -> bytes | None:
    try:
        return ledger.pictures.small(sha, WIDE)
    except (NotFoundError, StoreError, MalformedError):
        # A record of another ledger, or a photograph that was lost here since: the record has its own copy.
        return None


@cache
def _source() -> str:
    return _SOURCE.read_text("utf-8")

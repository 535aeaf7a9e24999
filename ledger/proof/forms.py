"""The forms in which a record is given: a page, a bag, and the file alone; one content, checked in one way.

Page and bag are made from the record in one way. So they are checked by making them anew: whatever differs by one byte
from what the record gives is named.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from ledger.proof.bag import check_bag, write_bag
from ledger.proof.handed import HandedReport, check_record
from ledger.proof.page import open_page, page_of, record_in_page
from ledger.proof.paper import attached_record, is_pdf
from ledger.proof.record_file import MEDIA, RecordFile, digest_of, earlier_of, earlier_there
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.signature import VerifierKey
from ledger.proof.stamped import StampCheck
from ledger.proof.zipped import BYTES_MOST, read_zip, zip_parts

__all__ = [
    "Taken",
    "bag_of",
    "bag_parts",
    "check_file",
    "check_taken",
    "open_file",
    "record_alone",
    "take_bag",
    "take_out",
    "unreadable",
]

RECORD: Final = "data/record.json"
SHEET: Final = "data/sheet.txt"
HOW: Final = "data/how-to-check.txt"
_EARLIER: Final = "data/earlier/"
_PICTURES: Final = "data/photographs/"

PRINTED: Final = (
    "The record attached to the printed sheet was checked; what is printed was not. "
    "Its eight words must be those above, and its words those of the record."
)

HOW_TO: Final = """\
How to check this by hand

1. That no file was changed since this bag was made. In this folder:
       sha256sum --check tagmanifest-sha256.txt
       sha256sum --check manifest-sha256.txt
   Every line must end with OK. This finds accidents: whoever changes a file on purpose can change the lists too.

2. That the account is the one its owner signed. That takes a verifier and the owner's key, and the key must come to
   you by another way than this bag: on paper, or read aloud.
       python -m ledger.proof data/record.json --key KEY
   The program slipsheet has the same verifier: slipsheet check FILE --key KEY. Its page FORMAT.md says every byte, so
   that anybody can write another.

3. What the files are. record.json is the record: the stored bytes of every entry about this book, the proofs that lead
   from them to the signed checkpoint, and the words of sheet.txt. The folder entries has the bytes of each entry by
   itself; SHA-256 over a zero byte and these bytes is the entry's place in the ledger. Each photograph is named by the
   SHA-256 of its bytes, and entries name it so.

No check shows whether what was written is true. It shows that it was written then, by whom, and that nothing about
this book was changed or left out since.
"""


def bag_of(data: bytes, beside: Mapping[str, bytes]) -> bytes:
    """The record as a bag in a zip (RFC 8493), with photographs and earlier records that lie beside it, by digest.

    Keeps: the same record gives the same bytes.
    Requires: everything that the record names is there, and is what its digest says
    Raises: MalformedError.
    """
    return b"".join(bag_parts(data, beside))


def bag_parts(data: bytes, beside: Mapping[str, bytes], record: RecordFile | None = None) -> list[bytes]:
    """As `bag_of`, as pieces to be written one after another: photographs are large, and no copy of them is made.

    `record` is what the data says, where that was read before.
    Raises: MalformedError.
    """
    return zip_parts(_bag_files(data, beside, record or RecordFile.from_bytes(data)), f"record-{digest_of(data)[:12]}")


@dataclass(frozen=True, kw_only=True)
class Taken:
    """What was taken out of a form: the record file, what lies beside it by digest, and the form to be made anew.

    `pictures` is false where the form has none with it, and nothing else of the record.
    """

    record: bytes
    beside: Mapping[str, bytes] = field(default_factory=dict)
    page: bytes | None = None
    files: Mapping[str, bytes] | None = None
    pictures: bool = False
    printed: bool = False


def take_out(data: bytes, *, most: int = BYTES_MOST) -> Taken:
    """The record in whichever form it was given; `most` is how many bytes of a zip are unpacked.

    Raises: MalformedError.
    """
    if data.startswith(b"PK"):
        return take_bag(read_zip(data, most=most))
    if data.lstrip()[:9].lower() == b"<!doctype":
        record, beside = open_page(data)
        return Taken(record=record, beside=beside, page=data, pictures=True)
    if is_pdf(data):
        return Taken(record=attached_record(data), printed=True)
    return Taken(record=data)


def record_alone(data: bytes, *, most: int) -> bytes:
    """The record file in whichever form it was given, of so many bytes at most; photographs stay packed.

    Raises: MalformedError.
    """
    if data.startswith(b"PK"):
        record = take_bag(read_zip(data, most=most, only={RECORD})).record
    elif data.lstrip()[:9].lower() == b"<!doctype":
        record = record_in_page(data)
    else:
        record = attached_record(data, most=most) if is_pdf(data) else data
    if len(record) > most:
        raise MalformedError(what="The record", problem=f"it has more than {most:,} bytes", mend="Ask for it again.")
    return record


def take_bag(files: Mapping[str, bytes]) -> Taken:
    """The record in the files of a bag.

    Raises: MalformedError.
    """
    if RECORD not in files:
        raise MalformedError(what="The bag", problem=f"there is no {RECORD} in it", mend="Ask for the file again.")
    beside = {
        name.rpartition("/")[2].partition(".")[0]: content
        for name, content in files.items()
        if name.startswith((_EARLIER, _PICTURES)) and not name.endswith("/")
    }
    return Taken(record=files[RECORD], beside=beside, files=files, pictures=True)


def check_file(data: bytes, keys: Sequence[VerifierKey] = (), held: bytes | str | None = None) -> HandedReport:
    """Check a record in whichever form it was given; all findings."""
    try:
        taken = take_out(data)
    except MalformedError as error:
        return unreadable(error)
    return check_taken(taken, keys, held)


def check_taken(
    taken: Taken,
    keys: Sequence[VerifierKey] = (),
    held: bytes | str | None = None,
    *,
    chains: Sequence[bytes] = (),
    stamps: StampCheck | None = None,
) -> HandedReport:
    """Check what was taken out of a form, and that the form is the one its record gives; all findings."""
    report = check_record(taken.record, taken.beside, keys, held, pictures=taken.pictures, chains=chains, stamps=stamps)
    if taken.files is not None:
        check_bag(taken.files, report)
        _compare_bag(taken.files, taken.beside, report)
    elif taken.page is not None:
        _compare_page(taken.page, taken.record, taken.beside, report)
    elif report.file is not None and (report.file.pictures or report.file.earlier):
        report.notes.append("The record alone was checked; photographs and earlier records do not lie beside it.")
    if taken.printed:
        report.notes.append(PRINTED)
    return report


def unreadable(error: MalformedError) -> HandedReport:
    """The verdict on what is no record."""
    report = HandedReport()
    report.add("file-unreadable", str(error))
    return report


def open_file(data: bytes) -> tuple[bytes, dict[str, bytes]]:
    """The record file in whichever form it was given, and what lies beside it by digest.

    Keeps: nothing of it is checked.
    Raises: MalformedError.
    """
    taken = take_out(data)
    return taken.record, dict(taken.beside)


def _bag_files(data: bytes, beside: Mapping[str, bytes], record: RecordFile) -> dict[str, bytes]:
    payload, named = _payload(data, record, earlier_of(record, beside))
    payload |= {name: beside[digest] for name, digest in named.items()}
    return write_bag(payload, _label(data), named)


def _payload(
    data: bytes, record: RecordFile, earlier: Mapping[str, RecordFile]
) -> tuple[dict[str, bytes], dict[str, str]]:
    """The files of a bag that are made from the record, and the names of all others with their digests."""
    payload = {RECORD: data, SHEET: "".join(f"{each}\n" for each in record.sheet.text()).encode(), HOW: HOW_TO.encode()}
    payload |= {f"data/entries/{place:06}.json": each.data for place, each in enumerate(record.proof.entries, 1)}
    named = {f"{_EARLIER}{name}.json": name for name in earlier}
    for one in (record, *earlier.values()):
        named |= {f"{_PICTURES}{each.sha256}.{MEDIA[each.media]}": each.sha256 for each in one.pictures}
    return payload, named


def _label(data: bytes) -> list[tuple[str, str]]:
    return [("Bag-Software-Agent", "slipsheet"), ("External-Identifier", digest_of(data))]


def _compare_bag(files: Mapping[str, bytes], beside: Mapping[str, bytes], report: HandedReport) -> None:
    """Where a bag is not the one that its record gives, as far as that can be known; what is told is not told again."""
    if report.file is None:
        return
    earlier, lost = earlier_there(report.file, beside)
    payload, named = _payload(files[RECORD], report.file, earlier)
    payload |= {name: beside[digest] for name, digest in named.items() if digest in beside}
    if lost:
        # Which photographs and records go with an earlier one is said by that one, and it cannot be read.
        payload |= {
            name: content for name, content in files.items() if name not in payload and _is_named(name, content)
        }
    made = write_bag(payload, _label(files[RECORD]), named)
    told = "\n".join(each.sentence for each in report.findings)
    for name in sorted(made.keys() | files.keys()):
        if name.endswith("/") or f"{name[:200]!a}" in told:
            continue
        if name not in made:
            report.add("bag-file-extra", f"{name[:200]!a} is in the bag and does not belong to the record.")
        elif files.get(name) != made[name]:
            report.add("bag-file-changed", f"{name[:200]!a} is not what the record gives.")


def _is_named(name: str, content: bytes) -> bool:
    """A photograph or a record under the name that its own digest gives it."""
    digest = digest_of(content)
    return name in (f"{_EARLIER}{digest}.json", *(f"{_PICTURES}{digest}.{each}" for each in MEDIA.values()))


def _compare_page(page: bytes, record: bytes, beside: Mapping[str, bytes], report: HandedReport) -> None:
    try:
        made = page_of(record, beside)
    except (LedgerError, KeyError):
        if report.file is not None:
            report.add("page-differs", "The page cannot be made anew from the record in it, so it is not one of it.")
        return
    if page == made:
        return
    at = next(
        (at for at, pair in enumerate(zip(page, made, strict=False)) if pair[0] != pair[1]), min(len(page), len(made))
    )
    shown = page[max(0, at - 20) : at + 20].decode("utf-8", "replace")
    report.add("page-differs", f"The page is not the one its record gives, from byte {at + 1} on, near {shown!a}.")

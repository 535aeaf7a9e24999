"""Checks a whole record: the book's proof, its words, its photographs, and the records of earlier owners with it.

Without a key from elsewhere it says only that the record holds together: whoever made it may have made all of it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeAlias

from ledger.proof.canonical import Plain
from ledger.proof.checkpoint import collection_of
from ledger.proof.record import EntryRead, RecordReport, read_entry, verify_file
from ledger.proof.record_file import BEGINS, PictureNamed, RecordFile, digest_of
from ledger.proof.report import Evidence, LedgerError, MalformedError, Report
from ledger.proof.signature import ED25519, VerifierKey, parse_vkey
from ledger.proof.stamped import StampCheck, StampSaid
from ledger.proof.vouched import Trust, chains_of, judge_signer, look_at_stamps

__all__ = ["EarlierRead", "Glance", "HandedReport", "check_record", "glance_over"]

DISCLOSURE: Final = "disclosure"
PHOTOGRAPH: Final = "photograph"
EARLIER: Final = "earlier"
_DEEPEST: Final = 16
"""Hand-overs, one inside the other."""
Glance: TypeAlias = tuple[int, bytes]
"""Size of a photograph, and its first bytes."""
Met: TypeAlias = tuple[set[str], int]
"""Earlier records that were checked already, so that none is twice, and how deep this one lies."""


@dataclass(frozen=True, kw_only=True)
class EarlierRead:
    """The record of an earlier owner: its digest, and what checking it came to."""

    sha256: str
    report: "HandedReport"


@dataclass(kw_only=True)
class HandedReport(RecordReport):
    """The verdict on a record.

    `signer_known` is false where no key came from elsewhere, so that only consistency was looked at. Findings in the
    records of earlier owners are theirs and stand in `earlier`.
    """

    signer_known: bool = False
    file: RecordFile | None = None
    stamps: list[StampSaid] = field(default_factory=list)
    """Time stamps that were held against an authority of the reader's choice."""
    of_collection: list[EntryRead] = field(default_factory=list)
    earlier: list[EarlierRead] = field(default_factory=list)

    @property
    def trusted(self) -> bool:
        """Nothing was found, and a key from elsewhere signed it."""
        return self.ok and self.signer_known


def check_record(  # noqa: PLR0913 - what is checked, and with what
    data: bytes,
    beside: Mapping[str, bytes],
    keys: Sequence[VerifierKey] = (),
    held: bytes | str | None = None,
    *,
    pictures: bool = True,
    chains: Sequence[bytes] = (),
    stamps: StampCheck | None = None,
) -> HandedReport:
    """Check a record file with what lies beside it, by digest; all findings.

    `pictures` is false for a form of the record that has neither them nor earlier records with it, such as a sheet of
    paper. `chains` are files of keys, for a record under a key before the one at hand; `stamps` checks time stamps
    against an authority.
    """
    trust = Trust(keys=tuple(keys), chains=tuple(chains), stamps=stamps)
    return _checked(data, beside, trust, held, pictures=pictures, met=(set(), 0))


def _checked(  # noqa: PLR0913 - what is checked, with what, how deep
    data: bytes,
    beside: Mapping[str, bytes],
    trust: Trust,
    held: bytes | str | None,
    *,
    pictures: bool,
    met: Met,
) -> HandedReport:
    report = HandedReport()
    try:
        file = RecordFile.from_bytes(data)
    except MalformedError as error:
        report.add("file-unreadable", str(error))
        return report
    # Whose key an earlier owner's is may not be known, and that is no damage.
    known = tuple(_own_keys(file, trust.keys)) if met[1] else trust.keys
    report.file = file
    claimed = _claimed(file, report)
    # What is wrong with a file of keys is told once, not again for each record inside this one.
    chained = chains_of(trust, Report() if met[1] else report)
    own = verify_file(file.proof, [*known, *chained.earlier] if known else claimed, held)
    if own.signed and claimed and not {each.key for each in own.signed} & set(claimed):
        report.add("key-other", "The record names another key as its own than the one that signed it.")
    entries = list(own.entries) or _read_anyway(file)
    for name in ("checkpoint", "signed", "unknown_signers", "held", "book", "book_no"):
        setattr(report, name, getattr(own, name))
    report.join(own)
    report.stamps = look_at_stamps(file.stamps, file.proof.checkpoint, trust.stamps, report)
    report.signer_known = judge_signer(known, chained, report.stamps, report)
    _collection(file, report)
    _end(file, entries, report)
    _pictures(file, entries, beside if pictures else None, report)
    _earlier(file, entries, beside, trust, report, pictures=pictures, met=met)
    report.entries = [] if report.findings else entries
    return report


def _claimed(file: RecordFile, report: Report) -> list[VerifierKey]:
    """The keys that the record itself names: enough to see whether it holds together, and no more."""
    found = []
    for text in file.keys:
        try:
            found.append(parse_vkey(text))
        except LedgerError as error:
            report.add("key-unreadable", f"A key that the record names cannot be read. {error}")
    return found


def _own_keys(file: RecordFile, keys: Sequence[VerifierKey]) -> Sequence[VerifierKey]:
    """The keys at hand that can be an earlier owner's; the next owner's says nothing of who that was."""
    origin = file.proof.checkpoint.partition("\n")[0]
    return keys if any((each.name, each.algorithm) == (origin, ED25519) for each in keys) else ()


def _read_anyway(file: RecordFile) -> list[EntryRead]:
    """What entries say, good or not, so that whatever else is wrong is told too."""
    passing = RecordReport()
    for each in file.proof.entries:
        read_entry("An entry", each, None, passing)
    return passing.entries


def _collection(file: RecordFile, report: HandedReport) -> None:
    """Entries of the collection itself are in the signed ledger; that there are no others, nothing says."""
    own = RecordReport()
    last = 0
    for place, each in enumerate(file.collection, 1):
        entry = read_entry(f"The record's entry {place} of the collection", each, report.checkpoint, own)
        if entry is not None and (entry.book is not None or entry.seq <= last):
            sentence = f"Entry {entry.seq} stands among those of the collection, and is of a book or out of order."
            report.add("other-book", sentence, seq=entry.seq)
        last = entry.seq if entry is not None else last
    report.join(own)
    report.of_collection = own.entries


def _end(file: RecordFile, entries: Sequence[EntryRead], report: HandedReport) -> None:
    """The record ends with the entry by which it was made, which says what it states and what it opens."""
    report.count("sheets")
    last = entries[-1] if entries else None
    if last is None or last.kind != DISCLOSURE:
        report.add(
            "not-disclosed", "The last entry is not the one by which a record is made, so nobody stands for its words."
        )
        return
    if last.body.get("statement") != file.sheet.digest:
        sentence = "The words of this record are not those that the ledger has the digest of: they were changed."
        report.add("sheet-differs", sentence, seq=last.seq)
    before = entries[-2].leaf if len(entries) > 1 else None
    if last.body.get("previous_head") != before:
        sentence = (
            "The record was made over another entry than the one before its last: something was put in or left out."
        )
        report.add("previous-head-differs", sentence, seq=last.seq)
    opened = {(entry.seq, name) for entry in entries[:-1] for name in entry.opened}
    said = set(_opened(last.body.get("opened")))
    for seq, name in sorted(opened - said):
        report.add("opened-more", f"Entry {seq} shows its {name}, which the owner did not choose to open.", seq=seq)
    for seq, name in sorted(said - opened):
        sentence = f"The owner opened the {name} of entry {seq}, and it is not here."
        report.add("opened-missing", sentence, evidence=Evidence.MISSING, seq=seq)


def _opened(value: Plain) -> Iterator[tuple[int, str]]:
    for each in value if isinstance(value, list) else ():
        if (
            isinstance(each, dict)
            and isinstance(seq := each.get("entry"), int)
            and isinstance(name := each.get("name"), str)
        ):
            yield seq, name


def _named(entries: Sequence[EntryRead], kind: str, name: str) -> Iterator[str]:
    """What entries of a kind have under a name, where it is text: whoever forges a record may put anything there."""
    for entry in entries:
        if entry.kind == kind and isinstance(said := entry.body.get(name), str):
            yield said


def _pictures(
    file: RecordFile, entries: Sequence[EntryRead], beside: Mapping[str, bytes] | None, report: HandedReport
) -> None:
    """Every photograph that the record has is one that an entry speaks of, and whole where it lies beside it."""
    known = {*_named(entries, PHOTOGRAPH, "clean"), *_named(entries, PHOTOGRAPH, "original")}
    for each in file.pictures:
        if each.sha256 not in known:
            short = each.sha256[:8]
            report.add("picture-stranger", f"No entry speaks of photograph {short}: it is not of this record.")
        if beside is not None:
            report.count("photographs")
            _picture(each, beside.get(each.sha256), report)
    named = {each.sha256 for each in file.pictures}
    for sha in file.sheet.pictures:
        if sha not in named:
            sentence = f"Photograph {sha[:8]}, which the words speak of, is missing."
            report.add("picture-missing", sentence, evidence=Evidence.MISSING)


def _picture(named: PictureNamed, data: bytes | None, report: HandedReport) -> None:
    if data is not None and digest_of(data) != named.sha256:
        _changed(named, report)
    else:
        _as_said(named, None if data is None else (len(data), data), report)


def _as_said(named: PictureNamed, glance: Glance | None, report: HandedReport) -> None:
    """It is there, and of the size and kind it is said to have."""
    short = named.sha256[:8]
    if glance is None:
        report.add("picture-missing", f"Photograph {short} is missing.", evidence=Evidence.MISSING)
    elif glance[0] != named.size:
        _changed(named, report)
    elif not glance[1].startswith(BEGINS[named.media]):
        report.add("picture-changed", f"Photograph {short} is not of the kind it is said to be, {named.media}.")


def _changed(named: PictureNamed, report: HandedReport) -> None:
    report.add("picture-changed", f"Photograph {named.sha256[:8]} was changed, or is another one.")


def _earlier(  # noqa: PLR0913 - what is checked, with what, how deep
    file: RecordFile,
    entries: Sequence[EntryRead],
    beside: Mapping[str, bytes],
    trust: Trust,
    report: HandedReport,
    *,
    pictures: bool,
    met: Met,
) -> None:
    """Records of earlier owners, each by itself: what is wrong with one is never taken for the book's own account."""
    named = set(_named(entries, EARLIER, "record"))
    for sha in sorted(named - set(file.earlier)):
        report.notes.append(f"An entry speaks of an earlier record, {sha[:8]}, which does not come with this one.")
    for sha in file.earlier:
        data = beside.get(sha)
        if sha not in named:
            report.add("earlier-stranger", f"No entry speaks of the earlier record {sha[:8]}: it does not belong here.")
        if data is None and not pictures:
            continue
        if data is None or digest_of(data) != sha:
            _earlier_missing(sha, report)
        elif sha in met[0]:
            continue
        elif met[1] >= _DEEPEST:
            report.add("earlier-too-many", f"Records lie inside one another more than {_DEEPEST} deep.")
        else:
            met[0].add(sha)
            found = _checked(data, beside, trust, None, pictures=pictures, met=(met[0], met[1] + 1))
            report.earlier.append(EarlierRead(sha256=sha, report=found))
            if found.file is None:
                sentence = f"The earlier record {sha[:8]} cannot be read, so that nobody can know what goes with it."
                report.add("earlier-unreadable", sentence)


def glance_over(report: HandedReport, glanced: Mapping[str, Glance | None]) -> None:
    """What is seen of photographs without reading them, of a record checked without any; None for what is missing."""
    if report.file is None:
        return
    for each in report.file.pictures:
        _as_said(each, glanced.get(each.sha256), report)
    for sha in report.file.earlier:
        if sha in glanced and glanced[sha] is None:
            _earlier_missing(sha, report)
    for inner in report.earlier:
        glance_over(inner.report, glanced)


def _earlier_missing(sha: str, report: HandedReport) -> None:
    sentence = f"The earlier record {sha[:8]} is missing or was changed."
    report.add("earlier-missing", sentence, evidence=Evidence.MISSING)


def origin_collection(report: HandedReport) -> str:
    """The collection that signed it, as its checkpoint says; empty where there is none."""
    return collection_of(report.checkpoint.origin) if report.checkpoint else ""

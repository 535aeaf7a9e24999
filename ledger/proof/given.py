"""What somebody was given and asks about: a record in any of its forms, or the older proof file, and what they hold.

Keys are theirs. Eight words are as good as a key of 88 bits: of the keys that the record names, they pick the one whose
digest begins so, and no other.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from hashlib import sha256
from typing import Final

from ledger.proof.canonical import read
from ledger.proof.eight import STRENGTH
from ledger.proof.forms import Taken, check_taken, take_bag, take_out, unreadable
from ledger.proof.handed import EarlierRead, HandedReport
from ledger.proof.proof_file import PROOF_FORMAT
from ledger.proof.record import RecordReport, verify
from ledger.proof.record_file import RecordFile
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.signature import VerifierKey, parse_vkey
from ledger.proof.stamped import StampCheck

__all__ = ["Asked", "Checked", "check_given", "key_digest"]

NO_KEY: Final = "No key came from elsewhere, so it was not looked at who signed this."


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What the reader has from elsewhere: whole keys, the first 11 bytes of keys' digests, an older checkpoint."""

    keys: tuple[VerifierKey, ...] = ()
    words: tuple[bytes, ...] = ()
    held: bytes | None = None
    chains: tuple[bytes, ...] = ()
    """Files of keys, for a record under a key before the one at hand."""
    stamps: StampCheck | None = None
    """How a time stamp is held against an authority they believe."""


@dataclass(frozen=True, kw_only=True)
class Checked:
    """What it came to. `keys` are those that were checked with, and `record` the record file or the older proof file."""

    report: HandedReport
    keys: tuple[VerifierKey, ...] = ()
    record: bytes = b""
    named: tuple[str, ...] = ()
    """Keys that the record itself names, which prove nothing."""
    by_words: bool = False

    @property
    def whole(self) -> bool:
        """Nothing was found in it or in what earlier owners gave, and a key from elsewhere signed it."""
        return self.report.trusted and not any(broken(self.report))


def broken(report: HandedReport) -> Sequence[EarlierRead]:
    """The records of earlier owners in which something was found, however deep they lie."""
    inner = [each for one in report.earlier for each in broken(one.report)]
    return [*(each for each in report.earlier if not each.report.ok), *inner]


def key_digest(vkey: str) -> str:
    """The digest of a verifier key, whose first 88 bits its eight words are: SHA-256 over the line, in hexadecimal."""
    return sha256(vkey.encode("utf-8")).hexdigest()


def check_given(given: bytes | Mapping[str, bytes], asked: Asked) -> Checked:
    """Check a file, or the files of a bag that was unpacked, by the names they have in it."""
    if isinstance(given, bytes) and _is_proof_file(given):
        return _proof_file(given, asked)
    try:
        taken = take_out(given) if isinstance(given, bytes) else take_bag(given)
    except MalformedError as error:
        return Checked(report=unreadable(error))
    named = _named_keys(taken)
    keys = (*asked.keys, *_picked(named, asked.words))
    report = check_taken(taken, keys, asked.held, chains=asked.chains, stamps=asked.stamps)
    _need_each(asked.words, named, report)
    own = report.file.keys if report.file else ()
    return Checked(report=report, keys=keys, record=taken.record, named=own, by_words=bool(asked.words))


def _is_proof_file(data: bytes) -> bool:
    if PROOF_FORMAT.encode() not in data or data.startswith((b"PK", b"%PDF", b"<")):
        return False
    try:
        said = read(data)
    except MalformedError:
        return False
    return isinstance(said, dict) and said.get("format") == PROOF_FORMAT


def _proof_file(data: bytes, asked: Asked) -> Checked:
    """The older form has no words and names no key, so without one it can only be seen whether it holds together."""
    own = verify(data, asked.keys, asked.held)
    report = HandedReport(**{each.name: getattr(own, each.name) for each in fields(RecordReport)})
    report.signer_known = bool(asked.keys)
    if not asked.keys:
        report.findings = [each for each in report.findings if each.code != "checkpoint-other-key"]
        report.notes.append(NO_KEY)
    _need_each(asked.words, (), report)
    return Checked(report=report, keys=asked.keys, record=data)


def _named_keys(taken: Taken) -> tuple[str, ...]:
    """Keys that the record and those of earlier owners name."""
    found: list[str] = []
    for data in (taken.record, *taken.beside.values()):
        try:
            found += RecordFile.from_bytes(data).keys
        except LedgerError:
            continue
    return tuple(dict.fromkeys(found))


def _picked(named: Sequence[str], words: Sequence[bytes]) -> list[VerifierKey]:
    found = []
    for text in named:
        if any(_has(text, each) for each in words):
            try:
                found.append(parse_vkey(text))
            except MalformedError:
                continue
    return found


def _need_each(words: Sequence[bytes], named: Sequence[str], report: HandedReport) -> None:
    """Words that belong to no key here are told: whoever they are of did not make this, or the words were misheard."""
    if not all(any(_has(text, each) for text in named) for each in words):
        sentence = (
            f"No key that the record names has the eight words you gave ({STRENGTH} bits): "
            "it is signed with another key, or a word was misheard."
        )
        report.add("key-other-words", sentence)


def _has(vkey: str, words: bytes) -> bool:
    return bytes.fromhex(key_digest(vkey)).startswith(words)

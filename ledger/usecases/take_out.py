"""Takes a whole collection out as one archive: entries, what is sealed in them, photographs, and all that lies beside."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import BinaryIO, Final

from ledger.actor import Actor, Permission
from ledger.archive.bag_lines import BAGIT_TEXT, info_text, list_text
from ledger.archive.carrier import Carried
from ledger.archive.layout import (
    BAG_INFO,
    BAGIT,
    ENTRIES,
    HEAD,
    KEYS,
    MANIFEST,
    SIGNED,
    TAG_MANIFEST,
    TOP,
    Head,
    picture_path,
    table_path,
    to_sign,
)
from ledger.archive.lines import line_of
from ledger.archive.zip_files import Written, ZipWriter
from ledger.errors import ConflictError, InvalidError, LedgerError, Problem
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.proof.envelope import Envelope, moment_text
from ledger.usecases.checkpoint import current, sign_checkpoint
from ledger.usecases.sign_in import PASSWORD_LEAST, PASSWORD_MOST
from ledger.usecases.stored import all_entries, readable

__all__ = ["NEEDED", "TakenOut", "need_passphrase", "take_out"]

NEEDED: Final = Permission.KEYS
"""What is needed to take all of it out: it shows everything, and may carry the key."""

_SALT_BYTES, _NONCE_BYTES = 32, 12
"""Random bytes of a locked key."""

Progress = Callable[[int, int], None]


@dataclass(frozen=True, kw_only=True)
class TakenOut:
    """An archive that was written."""

    head: Head
    size: int
    """Bytes of the file."""
    missing: tuple[str, ...]
    """Photographs that are not in it, since their files are gone or were changed."""


def take_out(
    ledger: Ledger,
    actor: Actor,
    file: BinaryIO,
    *,
    passphrase: str | None = None,
    progress: Progress = lambda _done, _expected: None,
) -> TakenOut:
    """The archive, written a piece at a time into an empty file; with the signing key where a passphrase is given.

    A checkpoint is signed first where the key is at hand. Keeps: what is in it is of one moment.
    Raises: ConflictError where an entry is damaged, or no key is at hand that is to go along; ForbiddenError,
    InvalidError.
    """
    actor.require(NEEDED)
    if ledger.carrier is None:
        raise ConflictError(sentence="There is no store here that a collection can be taken out of.")
    locked = None if passphrase is None else _locked(ledger, passphrase)
    if actor.may(Permission.SIGN):
        # A ledger that cannot sign for now is taken out all the same; the archive says how far it goes.
        with suppress(LedgerError):
            sign_checkpoint(ledger, actor)
    with ledger.carrier.read() as carried:
        return _Writing(ledger, carried, file, progress).write(locked)


def need_passphrase(passphrase: str) -> str:
    """The passphrase, if it is long enough to be one.

    Raises: InvalidError.
    """
    if PASSWORD_LEAST <= len(passphrase) <= PASSWORD_MOST:
        return passphrase
    sentence = f"A passphrase has {PASSWORD_LEAST} to {PASSWORD_MOST} characters; this has {len(passphrase)}. A sentence will do."
    raise InvalidError(problems=(Problem(field="passphrase", sentence=sentence),))


def _locked(ledger: Ledger, passphrase: str) -> bytes:
    need_passphrase(passphrase)
    if ledger.key_case is None or not ledger.signer.at_hand:
        raise ConflictError(
            sentence="The key file is not at hand, so the archive cannot carry it. Take it out without."
        )
    secret = ledger.signer.paper()
    chance = ledger.chance.bytes(_SALT_BYTES) + ledger.chance.bytes(_NONCE_BYTES)
    return ledger.key_case.locked(ledger.collection, secret, passphrase, chance)


class _Writing:
    """One archive under way."""

    def __init__(self, ledger: Ledger, carried: Carried, file: BinaryIO, progress: Progress) -> None:
        self._ledger, self._carried, self._progress = ledger, carried, progress
        self._zip = ZipWriter(file, TOP)
        self._payload: dict[str, Written] = {}
        self._tags: dict[str, Written] = {}
        self._done = self._expected = 0

    def write(self, locked: bytes | None) -> TakenOut:
        """Everything, in the order in which ARCHIVE.md names it."""
        names = self._ledger.pictures.stored()
        wanted = self._wanted()
        whole = [name for name in names if self._ledger.pictures.digest(name) == name]
        counts = dict(self._carried.counts())
        head = self._head(counts, len(whole), keys=locked is not None)
        self._expected = head.state.size + sum(counts.values()) + len(whole)
        self._tag(BAGIT, BAGIT_TEXT)
        self._put(HEAD, iter([head.to_bytes()]))
        self._put(ENTRIES, self._counted(self._entries(head.state.size)))
        for table in counts:
            self._put(table_path(table), self._counted(map(line_of, self._carried.rows(table))))
        if locked is not None:
            self._put(KEYS, iter([locked]))
        for name in whole:
            self._put(picture_path(name), self._ledger.pictures.pieces(name))
            self._count()
        self._finish_bag(head)
        gone = tuple(sorted({*names, *wanted} - set(whole)))
        return TakenOut(head=head, size=self._zip.finish(), missing=gone)

    def _head(self, tables: Mapping[str, int], pictures: int, *, keys: bool) -> Head:
        made = moment_text(self._ledger.clock.now())
        state = current(self._carried.reader)
        return Head(made=made, state=state, tables=dict(tables), pictures=pictures, keys=keys)

    def _wanted(self) -> set[str]:
        """Photographs that entries and prospects name, whether their files are there or not."""
        found: set[str] = set()
        for entry in readable(self._carried.reader, Photograph.kind):
            if isinstance(entry.event, Photograph):
                found |= {entry.event.original, entry.event.clean}
        if self._ledger.market is not None:
            with self._ledger.market.read() as market:
                found |= {name for each in market.prospects() for name in each.pictures}
        return found

    def _entries(self, size: int) -> Iterator[bytes]:
        """Each entry's own bytes, one a line; read once more, so that none is taken along that nobody could read."""
        at = 0
        for at, stored in enumerate(all_entries(self._carried.reader), start=1):
            if Envelope.from_bytes(stored.data).seq != at:
                raise _damaged(at)
            yield stored.data + b"\n"
        if at != size:
            raise _damaged(at + 1)

    def _finish_bag(self, head: Head) -> None:
        self._tag(BAG_INFO, info_text(head, self._payload))
        manifest = list_text(self._payload)
        self._tag(MANIFEST, manifest)
        if self._ledger.signer.at_hand:
            note = self._ledger.signer.sign(to_sign(head, self._tags[MANIFEST].sha256))
            self._tag(SIGNED, note.encode())
        self._tag(TAG_MANIFEST, list_text(self._tags))

    def _put(self, name: str, pieces: Iterator[bytes]) -> None:
        self._payload[name] = self._zip.add(name, pieces)

    def _tag(self, name: str, data: bytes) -> None:
        self._tags[name] = self._zip.add(name, [data])

    def _counted(self, lines: Iterator[bytes]) -> Iterator[bytes]:
        for line in lines:
            yield line
            self._count()

    def _count(self) -> None:
        self._done += 1
        self._progress(self._done, self._expected)


def _damaged(seq: int) -> ConflictError:
    return ConflictError(
        sentence=f"Entry {seq} is missing or damaged, so nothing is taken out. Run verify, and put back a backup that is whole."
    )

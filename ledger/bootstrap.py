"""Joins store, adapters, clock and keys into a ledger: the one place where all parts meet."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from ledger.accounts import Accounts
from ledger.actor import Actor
from ledger.adapters.clock import SystemChance, SystemClock
from ledger.adapters.key_ring import KeyRing
from ledger.adapters.keys import SEED_BYTES, KeySigner, NoKey, key_path, need_outside, open_or_make, signer_of
from ledger.adapters.passwords import Argon2Passwords
from ledger.adapters.pictures import FilePictures
from ledger.errors import ConflictError, MalformedError
from ledger.events.key import Key
from ledger.ports import Chance, Clock, Codec, Ledger, Log, Signer
from ledger.proof.signature import VerifierKey, parse_vkey
from ledger.settings import Settings
from ledger.store.accounts import SqlAccounts
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, Store, open_read_only, open_store
from ledger.store.log import SqlLog, collections, make_collection, open_log
from ledger.usecases.found import found
from ledger.usecases.key_in_use import settle
from ledger.usecases.record import random_id
from ledger.usecases.stored import readable

OWNER = Actor(id="owner")
"""The one person of a collection for now; `ledger/actor.py` is where more roles will be told apart."""

PICTURES = "pictures"


@contextmanager
def open_ledger(  # noqa: PLR0913
    settings: Settings,
    *,
    make: bool = True,
    mend: bool = False,
    clock: Clock | None = None,
    chance: Chance | None = None,
    seed: bytes | None = None,
    collection: str | None = None,
    lost_key: bool = False,
) -> Iterator[Ledger]:
    """The ledger of a data folder, this process its only writer; a new folder gets a collection and a key.

    `mend` puts back guards, and tables of what is worked out from the entries; until then verify names them.
    `seed` fixes the key and keeps it out of every file, `collection` the new collection's id: both for the demo.
    With `lost_key` it opens without a key file, so that a new key can be started; until then it checks with the key that
    the ledger itself names.
    Raises: BusyError, ConflictError, StoreError.
    """
    folder, clock, chance = Path(settings.folder), clock or SystemClock(), chance or SystemChance()
    if not make:
        _need_database(folder)
    store = open_store(folder, mend=mend)
    try:
        known = _collection(store, folder, make=make)
        name = known or collection or random_id(chance)
        # The key is on the disk before the collection that needs it; a key is never made for one that had another.
        own = signer_of(name, seed) if seed else None if known else _key(settings, name, chance.bytes(SEED_BYTES))
        if not known:
            make_collection(store, name, clock.now())
        codec = EventCodec()
        log = open_log(name, store, codec)
        key = own or _key_at_hand(settings, log, name, lost=lost_key)
        ring = KeyRing(name, key, None if seed else Path(settings.keys))
        ledger = _joined(name, log, codec, settings, ring, clock, chance)
        found(ledger, OWNER)
        settle(ledger)
        yield replace(ledger, accounts=_accounts(ledger, SqlAccounts(name, store)), key_claimed=not ring.at_hand)
    finally:
        store.close()


@contextmanager
def open_to_read(settings: Settings, *, vkey: str | None = None) -> Iterator[Ledger]:
    """The ledger for reading only, beside a server that may be running.

    `vkey` is the verifier key to check with; left out, it is that of the key file, and without one that of the ledger.
    Raises: ConflictError, MalformedError, StoreError.
    """
    folder = Path(settings.folder)
    _need_database(folder)
    store = open_read_only(folder)
    try:
        known = collections(store)
        if not known:
            raise _no_ledger(folder)
        codec = EventCodec()
        log = SqlLog(known[0], store, codec)
        signer: Signer
        claimed = vkey is None and not key_path(Path(settings.keys), known[0]).exists()
        if claimed:
            signer = NoKey(_claimed_key(log))
        elif vkey is not None:
            signer = NoKey(parse_vkey(vkey))
        else:
            signer = _key(settings, known[0], None)
        ledger = _joined(known[0], log, codec, settings, signer, SystemClock(), SystemChance())
        yield replace(ledger, key_claimed=claimed)
    finally:
        store.close()


def _collection(store: Store, folder: Path, *, make: bool) -> str | None:
    """The collection in a store; None for a new one.

    Raises: ConflictError where there is none and none is to be made.
    """
    known = collections(store)
    if not known and not make:
        raise _no_ledger(folder)
    return known[0] if known else None


def _accounts(ledger: Ledger, people: SqlAccounts) -> Accounts:
    return Accounts(owner=OWNER.id, store=people, passwords=Argon2Passwords(), clock=ledger.clock, chance=ledger.chance)


def _key(settings: Settings, collection: str, seed: bytes | None) -> KeySigner:
    return open_or_make(Path(settings.keys), collection, data_folder=Path(settings.folder), seed=seed)


def _key_at_hand(settings: Settings, log: Log, collection: str, *, lost: bool) -> KeySigner | NoKey:
    """The key of a ledger that was here before; where it is said to be lost, none if there is none."""
    try:
        return _key(settings, collection, None)
    except (ConflictError, MalformedError):
        if not lost:
            raise
        need_outside(Path(settings.keys), Path(settings.folder))
        return NoKey(_claimed_key(log))


def _claimed_key(log: Log) -> VerifierKey:
    """The key that the ledger itself says signs for it, which proves only that it agrees with itself."""
    with log.read() as reader:
        events = [entry.event for entry in readable(reader, Key.kind)]
    claimed = next((event.vkey for event in reversed(events) if isinstance(event, Key)), None)
    if claimed is None:
        raise ConflictError(sentence="This ledger names no key. Give the one you know with --key.")
    try:
        return parse_vkey(claimed)
    except MalformedError as error:
        sentence = f"The key this ledger names cannot be used. {error} Give the one you know with --key."
        raise ConflictError(sentence=sentence) from error


def _need_database(folder: Path) -> None:
    """Nothing is made in a folder that was named by mistake.

    Raises: ConflictError.
    """
    if not (folder / DATABASE).is_file():
        raise _no_ledger(folder)


def _no_ledger(folder: Path) -> ConflictError:
    return ConflictError(sentence=f"There is no ledger in {folder}. Name its folder with --folder.")


def _joined(  # noqa: PLR0913
    collection: str, log: Log, codec: Codec, settings: Settings, signer: Signer, clock: Clock, chance: Chance
) -> Ledger:
    return Ledger(
        collection=collection,
        log=log,
        pictures=FilePictures(Path(settings.folder) / PICTURES),
        clock=clock,
        chance=chance,
        signer=signer,
        codec=codec,
    )

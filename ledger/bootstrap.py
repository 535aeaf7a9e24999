"""Joins store, adapters, clock and keys into a ledger: the one place where all parts meet."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from ledger.accounts import Accounts
from ledger.actor import Actor
from ledger.adapters.align import OpenCvAligner
from ledger.adapters.anchors import FileAnchor, anchor_path
from ledger.adapters.bars import ZxingBars
from ledger.adapters.calendar import ICalendars
from ledger.adapters.clock import SystemChance, SystemClock
from ledger.adapters.codes import SegnoCodes
from ledger.adapters.key_case import LockedCase
from ledger.adapters.key_ring import KeyRing
from ledger.adapters.keys import SEED_BYTES, KeySigner, NoKey, key_path, need_outside, open_or_make, signer_of
from ledger.adapters.makings import FileMakings
from ledger.adapters.passwords import Argon2Passwords
from ledger.adapters.pictures import FilePictures
from ledger.adapters.returns import XirrReturns
from ledger.adapters.sheets import TypstSheets
from ledger.adapters.tables_in import FileTables
from ledger.adapters.timestamps import Rfc3161Stamps
from ledger.adapters.upkeep_file import FileUpkeep
from ledger.adapters.workbooks import XlsxWorkbooks
from ledger.catalogues import Printed, Printing
from ledger.errors import ConflictError, MalformedError
from ledger.events.key import Key
from ledger.exports import Export, Outcome
from ledger.ports import Chance, Clock, Codec, Ledger, Log, Signer
from ledger.proof.signature import VerifierKey, parse_vkey
from ledger.settings import Settings
from ledger.store.accounts import SqlAccounts
from ledger.store.bench import SqlBench
from ledger.store.care import SqlCare
from ledger.store.carried import SqlCarrier
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, MOVED, Store, open_read_only, open_store
from ledger.store.handing import SqlHanding
from ledger.store.log import SqlLog, collections, make_collection, open_log
from ledger.store.market import SqlMarket
from ledger.store.postgres import open_postgres
from ledger.usecases.anchored import held_back
from ledger.usecases.forget import forget_lost, forget_prospects, forget_shown
from ledger.usecases.found import found
from ledger.usecases.key_in_use import settle
from ledger.usecases.record import random_id
from ledger.usecases.stored import readable

OWNER = Actor(id="owner")
"""The one person of a collection for now; `ledger/actor.py` is where more roles will be told apart."""

PICTURES, EXPORTS, CATALOGUES = "pictures", "exports", "catalogues"
COMING_IN = "coming-in"
"""Folder of tables on their way in; no backup has it."""


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
    With `lost_key` it opens without a key file, for a new key to be started; it checks with the key the ledger names.
    Raises: BusyError, ConflictError, StoreError.
    """
    clock, chance = clock or SystemClock(), chance or SystemChance()
    store = _to_write(settings, make=make, mend=mend)
    exports, catalogues = _makings(Path(settings.folder), clock)
    try:
        known = _chosen(settings, collections(store))
        if not known and not make:
            raise _no_ledger(settings)
        name = known or collection or random_id(chance)
        # The key is on the disk before the collection that needs it; a key is never made for one that had another.
        own = signer_of(name, seed) if seed else None if known else _key(settings, name, chance.bytes(SEED_BYTES))
        if not known:
            make_collection(store, name, clock.now())
        log = open_log(name, store, codec := EventCodec())
        in_use = own or _key_at_hand(settings, log, name, lost=lost_key)
        ring = KeyRing(name, in_use, None if seed else Path(settings.keys))
        ledger = _joined(name, log, codec, settings, ring, clock, chance)
        ledger = _for_its_writer(replace(ledger, exports=exports, catalogues=catalogues), settings, name, store)
        yield _begun(ledger if seed else replace(ledger, anchor=FileAnchor(anchor_path(Path(settings.keys), name))))
    finally:
        exports.stop()
        catalogues.stop()
        store.close()


def _for_its_writer(ledger: Ledger, settings: Settings, name: str, store: Store) -> Ledger:
    """The ledger with what only the process that writes has: accounts, the bench, tables on their way in."""
    tables = FileTables(Path(settings.folder) / COMING_IN / name)
    people, clock, chance = SqlAccounts(name, store), ledger.clock, ledger.chance
    accounts = Accounts(owner=OWNER.id, store=people, passwords=Argon2Passwords(), clock=clock, chance=chance)
    whole = _with_beside(replace(ledger, accounts=accounts, bench=SqlBench(name, store), tables=tables), name, store)
    forget_lost(whole, alone=not settings.database)
    return whole


def _with_beside(ledger: Ledger, name: str, store: Store) -> Ledger:
    """The ledger with what lies beside it and is read and written wherever the ledger is opened."""
    handing, market, care = SqlHanding(name, store), SqlMarket(name, store), SqlCare(name, store)
    carrier = SqlCarrier(name, store, ledger.codec)
    return replace(ledger, handing=handing, market=market, care=care, carrier=carrier)


@contextmanager
def open_to_read(settings: Settings, *, vkey: str | None = None, pictures: Path | None = None) -> Iterator[Ledger]:
    """The ledger for reading only, beside a server that may be running.

    `vkey` is the verifier key to check with; left out, it is that of the key file, and without one that of the ledger.
    `pictures` is the folder of the photographs where that is not the data folder's own.
    Raises: ConflictError, MalformedError, StoreError.
    """
    with open_store_to_read(settings) as (store, name):
        codec = EventCodec()
        log = SqlLog(name, store, codec)
        claimed = vkey is None and not key_path(Path(settings.keys), name).exists()
        signer: Signer
        if claimed:
            signer = NoKey(_claimed_key(log))
        elif vkey is not None:
            signer = NoKey(parse_vkey(vkey))
        else:
            signer = _key(settings, name, None)
        ledger = _joined(name, log, codec, settings, signer, SystemClock(), SystemChance())
        kept = FilePictures(pictures) if pictures is not None else ledger.pictures
        ledger = _with_beside(ledger, name, store)
        yield replace(
            ledger, pictures=kept, key_claimed=claimed, anchor=FileAnchor(anchor_path(Path(settings.keys), name))
        )


@contextmanager
def open_store_to_write(settings: Settings) -> Iterator[Store]:
    """The store below, made if it is not there.

    Raises: BusyError, StoreError.
    """
    store = open_postgres(settings.database) if settings.database else open_store(Path(settings.folder))
    try:
        yield store
    finally:
        store.close()


def key_at_hand(settings: Settings, collection: str) -> VerifierKey | None:
    """What the key file of a collection lets others check with; None where there is no file.

    Raises: MalformedError.
    """
    if not key_path(Path(settings.keys), collection).exists():
        return None
    return _key(settings, collection, None).verifier


@contextmanager
def open_store_to_read(settings: Settings) -> Iterator[tuple[Store, str]]:
    """The store below, and the collection that is meant.

    Raises: ConflictError, StoreError.
    """
    store = _to_read(settings)
    try:
        name = _chosen(settings, collections(store))
        if not name:
            raise _no_ledger(settings)
        yield store, name
    finally:
        store.close()


def _begun(ledger: Ledger) -> Ledger:
    """The ledger with its first entries and the key that it names, or held back by its anchor."""
    found(ledger, OWNER)
    settle(ledger)
    forget_shown(ledger)
    forget_prospects(ledger)
    return held_back(replace(ledger, key_claimed=not ledger.signer.at_hand))


def _makings(folder: Path, clock: Clock) -> tuple[FileMakings[Export, Outcome], FileMakings[Printing, Printed]]:
    return FileMakings(folder / EXPORTS, clock, "archive"), FileMakings(folder / CATALOGUES, clock, "catalogue")


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


def _to_write(settings: Settings, *, make: bool, mend: bool) -> Store:
    """The store, for adding to it."""
    if settings.database:
        return open_postgres(settings.database)
    folder = Path(settings.folder)
    if not make:
        _need_database(settings)
    if (folder / MOVED).exists() and not (folder / DATABASE).exists():
        sentence = (
            f"The ledger of {folder} was moved away. Serve it from where it is: with --database, and its address."
        )
        raise ConflictError(sentence=f"{sentence} Or, to begin a new one here, move {MOVED} to another folder.")
    return open_store(Path(settings.folder), mend=mend)


def _to_read(settings: Settings) -> Store:
    """The store, beside a server that may be running."""
    if settings.database:
        return open_postgres(settings.database, writing=False)
    _need_database(settings)
    return open_read_only(Path(settings.folder))


def _chosen(settings: Settings, known: Sequence[str]) -> str | None:
    """The collection that is meant; None where there is none yet.

    Raises: ConflictError where that cannot be told.
    """
    if settings.collection and settings.collection not in known:
        sentence = f"There is no collection {settings.collection} in {settings.place}."
        raise ConflictError(sentence=f"{sentence} Name another one with --collection, or leave it out.")
    if len(known) > 1 and not settings.collection:
        sentence = f"There are {len(known)} collections in {settings.place}: {', '.join(known)}."
        raise ConflictError(sentence=f"{sentence} Choose one with --collection.")
    return settings.collection or next(iter(known), None)


def _need_database(settings: Settings) -> None:
    """Nothing is made in a folder that was named by mistake.

    Raises: ConflictError.
    """
    if not (Path(settings.folder) / DATABASE).is_file():
        raise _no_ledger(settings)


def _no_ledger(settings: Settings) -> ConflictError:
    mend = "Start the server on it once." if settings.database else "Name its folder with --folder."
    return ConflictError(sentence=f"There is no ledger in {settings.place}. {mend}")


def _joined(  # noqa: PLR0913
    collection: str, log: Log, codec: Codec, settings: Settings, signer: Signer, clock: Clock, chance: Chance
) -> Ledger:
    return Ledger(
        collection=collection,
        log=log,
        pictures=FilePictures(Path(settings.folder) / PICTURES),
        upkeep=FileUpkeep(Path(settings.folder)),
        sheets=TypstSheets(),
        codes=SegnoCodes(),
        bars=ZxingBars(),
        calendars=ICalendars(),
        timestamps=Rfc3161Stamps(),
        aligner=OpenCvAligner(),
        returns=XirrReturns(),
        key_case=LockedCase(),
        workbooks=XlsxWorkbooks(),
        clock=clock,
        chance=chance,
        signer=signer,
        codec=codec,
    )

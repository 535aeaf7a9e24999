"""The tables of what is handed on: records, links to them, stamps of checkpoints. What they hold is JSON."""

from typing import Final

from ledger.store.bench_tables import beside_table

__all__ = ["HANDING", "LINK", "RECORD", "STAMP"]

RECORD: Final = beside_table("record", "made")
"""Record files by their digest, made here or received; they are never changed; one that shows what was erased is taken out."""

LINK: Final = beside_table("link", "made")
"""Addresses at which a record can be read; only the hash of the secret is kept."""

STAMP: Final = beside_table("stamp", "made")
"""What others said of a checkpoint: time stamps (RFC 3161) and cosignatures."""

HANDING: Final = (RECORD, LINK, STAMP)

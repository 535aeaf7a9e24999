"""Every table beside the ledger that belongs to the collection's own work: bench, what is handed on, the market, care."""

from typing import Final

from ledger.store.bench_tables import BENCH
from ledger.store.care_tables import CARE
from ledger.store.handing_tables import HANDING
from ledger.store.market_tables import MARKET

__all__ = ["BESIDE"]

BESIDE: Final = (*BENCH, *HANDING, *MARKET, *CARE)

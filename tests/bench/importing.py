"""A hundred thousand rows brought in from a spreadsheet: how long it takes, how much memory, and how soon it ends when asked.

Each row makes a purchase with a stated grade, a placement and a value. Every measure is taken in a process of its own.
"""

import gc
import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from threading import Timer
from time import perf_counter
from typing import Final

from ledger.adapters.clock import SystemChance
from ledger.adapters.tables_in import FileTables
from ledger.importing.begun import Options
from ledger.importing.runs import CalledOffError
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases.bring_in import bring_in
from ledger.usecases.imports import begin_import, check_import, choose_columns
from tests.bench.appending import a_log
from tests.bench.measuring import Ratio
from tests.conftest import ledger_on
from tests.store.writing import OWNER

ROWS: Final = 100_000
FEW: Final = 10_000
MINUTES_MOST: Final = 3
_ROOT: Final = Path(__file__).resolve().parents[2]
_GRADES: Final = ("VF/NM", "9.2", "NM-", "VG", "6.0", "FN/VF")


def ratios() -> Iterator[Ratio]:
    """Units: s, MB."""
    many, few = _measured(ROWS), _measured(FEW)
    seconds = MINUTES_MOST * 60
    what = f"import: {ROWS:,} rows brought in"
    yield Ratio(what=what, ours=many["in"], reference="three minutes", theirs=seconds, unit="s", goal=1)
    tried = f"import: {ROWS:,} rows tried without writing"
    yield Ratio(what=tried, ours=many["tried"], reference="three minutes", theirs=seconds, unit="s", goal=1)
    reference = f"of {FEW:,} rows"
    yield Ratio(
        what=f"import: memory of {ROWS:,} rows",
        ours=many["mb"],
        reference=reference,
        theirs=few["mb"],
        unit="MB",
        goal=1.5,
    )
    for name, at in (("in its middle", 0.5), ("near its end", 0.9)):
        took = _measured(ROWS, call_off=at * many["in"])["called_off"]
        yield Ratio(what=f"import: called off {name}", ours=took, reference="one second", theirs=1, unit="s", goal=1)


def a_table(rows: int) -> bytes:
    """Rows of invented books; series of forty numbers, in no order."""
    lines = ["Title,Number,Grade,Paid,Bought,Box,Worth,Seller,Publisher,Cover date"]
    lines += [
        f"Amber Anchor {(row * 7919) % rows // 40},{row % 40 + 1},{_GRADES[row % 6]},{row % 97}.50,"
        f"{row % 28 + 1} Apr {1980 + row % 40},Box {row % 30},{row % 300 + 1}.00,A fair,Gorse Hill Press,Nov {1940 + row % 50}"
        for row in range(rows)
    ]
    return "\n".join(lines).encode()


def one(rows: int, call_off: float) -> dict[str, float]:
    """What one import takes; called off after so many seconds, where that is not zero."""
    with tempfile.TemporaryDirectory() as place:
        log = a_log(Path(place) / "folder")
        tables = FileTables(Path(place) / "coming")
        ledger = replace(ledger_on(log, tables=tables), chance=SystemChance())
        own = _ready(ledger, rows)
        # As in a server that is running: what was loaded is not looked through again.
        gc.collect()
        gc.freeze()
        start = perf_counter()
        check_import(ledger, OWNER, own, _told)
        tried = perf_counter() - start
        asked: list[float] = []
        if call_off:

            def ask() -> None:
                asked.append(perf_counter())
                tables.runs.call_off(own)

            Timer(call_off, ask).start()
        start = perf_counter()
        found: dict[str, float] = {"tried": tried}
        try:
            bring_in(ledger, OWNER, own, _told)
            found["in"] = perf_counter() - start
        except CalledOffError:
            found["called_off"] = perf_counter() - asked[0]
        found["mb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        log._store.close()
        return found


def _ready(ledger: Ledger, rows: int) -> str:
    begun = begin_import(ledger, OWNER, "rows.csv", a_table(rows), TableAsked())
    choose_columns(ledger, OWNER, begun.id, begun.columns.fields, Options(currency="USD"), begun.source)
    return begun.id


def _told(done: int, expected: int) -> None:
    assert done <= expected


def _measured(rows: int, call_off: float = 0) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.bench.importing", str(rows), str(call_off)]
    done = subprocess.run(command, cwd=_ROOT, check=True, capture_output=True, text=True)
    found: dict[str, float] = json.loads(done.stdout)
    return found


if __name__ == "__main__":
    print(json.dumps(one(int(sys.argv[1]), float(sys.argv[2]))))

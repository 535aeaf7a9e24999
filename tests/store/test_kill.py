"""The program is killed at random moments while several threads write: nothing acknowledged is lost."""

import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import sleep

import pytest

from ledger.proof.chain import Walk
from ledger.store.codec import EventCodec
from ledger.store.log import SqlLog, make_collection, open_log
from tests.check import check_ledger, stored_entries
from tests.conftest import COLLECTION
from tests.counts import count
from tests.store.homes import HOMES, open_home
from tests.store.load import THREADS, key_of, send
from tests.store.writing import WHEN, Scribe

ROOT = Path(__file__).resolve().parents[2]
HOUSES, LIVES = 4, count(25, 500)
"""100 kills on SQLite, 25 in each of four folders, and a quarter of that on PostgreSQL; 2,000 and 500 in a full run."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork, and no kill -9")


class Nursery:
    """The process that forks writers, and what stands on its pipe."""

    def __init__(self, process: "subprocess.Popen[bytes]") -> None:
        assert process.stdin is not None
        assert process.stdout is not None
        self._in, self._out = process.stdin, process.stdout

    def bear(self, home: str, life: str, most_bytes: int = 0) -> int:
        """The process id of a new writer."""
        self._in.write(f"{home} {life} {most_bytes}\n".encode())
        self._in.flush()
        word, pid = self._out.readline().split()
        assert word == b"born"
        return int(pid)

    def said(self) -> Iterator[list[str]]:
        """What the writer said, up to its end."""
        while (line := self._out.readline().decode()) != "gone\n":
            assert line.endswith("\n"), "the nursery itself died"
            yield line.split()


@pytest.fixture(scope="module")
def nursery() -> Iterator[Nursery]:
    command = [sys.executable, "-m", "tests.store.load"]
    with subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        yield Nursery(process)
        assert process.stdin is not None
        process.stdin.close()


@contextmanager
def a_home(kind: str, folder: Path) -> Iterator[str]:
    """With an empty collection in it."""
    with HOMES[kind](folder) as home:
        store = open_home(home)
        make_collection(store, COLLECTION, WHEN)
        store.close()
        yield home


def _kept(said: Iterator[list[str]]) -> tuple[dict[str, int], list[str]]:
    """Keys acknowledged with their entries' numbers, and the failures told."""
    acknowledged, failed = {}, []
    for word, *rest in said:
        if word == "kept":
            acknowledged[rest[0]] = int(rest[1])
        else:
            failed.append(rest[0])
    return acknowledged, failed


def _settle(log: SqlLog, life: str, acknowledged: dict[str, int]) -> dict[str, int]:
    """Every request of a life with its entry: those acknowledged are there, and the unknown ones are sent again."""
    with log.read() as reader:
        for key, seq in acknowledged.items():
            receipt = reader.receipt(key)
            assert receipt is not None, f"{key} was acknowledged and is lost"
            assert (receipt.first, receipt.count) == (seq, 1)
        there = reader.head().size
    settled = dict(acknowledged)
    scribe = Scribe(log, f"{life} again")
    for thread in range(THREADS):
        number = sum(1 for key in acknowledged if key.startswith(f"{life}.{thread}."))
        unknown = key_of(life, thread, number)
        assert unknown not in settled, "a thread was answered out of order"
        settled[unknown] = send(scribe, life, thread, number)
    with log.read() as reader:
        assert reader.head().size <= there + THREADS
    return settled


def _walked(log: SqlLog) -> int:
    """The number of entries, none of them out of place."""
    walk = Walk(COLLECTION)
    with log.read() as reader:
        for stored in stored_entries(reader):
            walk.step(stored.seq, stored.data, bytes.fromhex(stored.leaf))
        assert reader.head().size == walk.size
    assert walk.size == 0 or walk.finish().findings == []
    return walk.size


KILLED = [*(("sqlite", seed) for seed in range(HOUSES)), ("postgresql", 0)]


@pytest.mark.long
@pytest.mark.parametrize(("kind", "seed"), KILLED)
def test_nothing_acknowledged_is_lost_when_the_program_is_killed_at_any_moment(
    nursery: Nursery, tmp_path: Path, kind: str, seed: int
) -> None:
    chance = random.Random(seed)
    entries: dict[str, int] = {}
    with a_home(kind, tmp_path) as home:
        for number in range(LIVES):
            life = f"life{number}"
            child = nursery.bear(home, life)
            # Some die while they open the store, most while they write.
            sleep(chance.uniform(0.0, 0.5))
            os.kill(child, signal.SIGKILL)
            acknowledged, failed = _kept(nursery.said())
            assert failed == []
            store = open_home(home)
            log = open_log(COLLECTION, store, EventCodec())
            entries |= _settle(log, life, acknowledged)
            # One key, one entry, and no entry without a key: together they fill every number once.
            assert sorted(entries.values()) == list(range(1, _walked(log) + 1))
            store.close()
        store = open_home(home)
        assert check_ledger(open_log(COLLECTION, store, EventCodec())) == len(entries)
        store.close()
    assert len(entries) > LIVES


@pytest.mark.long
def test_nothing_acknowledged_is_lost_when_the_file_can_grow_no_further(nursery: Nursery, tmp_path: Path) -> None:
    # Source: POSIX setrlimit(2): a write beyond RLIMIT_FSIZE fails, as on a full disk.
    with a_home("sqlite", tmp_path) as home:
        nursery.bear(home, "full", 1_500_000)
        acknowledged, failed = _kept(nursery.said())
        assert len(failed) == THREADS
        assert set(failed) <= {"StoreError", "ClosedError"}
        assert "StoreError" in failed
        assert len(acknowledged) > THREADS
        store = open_home(home)
        log = open_log(COLLECTION, store, EventCodec())
        settled = _settle(log, "full", acknowledged)
        assert sorted(settled.values()) == list(range(1, len(settled) + 1))
        assert check_ledger(log) == len(settled)
        store.close()

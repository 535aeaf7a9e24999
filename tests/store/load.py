"""Writers to be killed: a nursery that has imported everything forks one for each line it is sent.

It prints `born PID`, then what the writer prints, then `gone`. The writer prints a line for each entry that was
acknowledged, after it was, with one system call: whatever stands on the pipe was promised.
"""

import os
import resource
import sys
import threading

from ledger.errors import LedgerError
from ledger.store.codec import EventCodec
from ledger.store.log import open_log
from tests.conftest import COLLECTION
from tests.store.homes import open_home
from tests.store.writing import Scribe, a_note

THREADS = 4


def key_of(life: str, thread: int, number: int) -> str:
    """The idempotency key of a writer's request; each thread counts its own from 0."""
    return f"{life}.{thread}.{number}"


def send(scribe: Scribe, life: str, thread: int, number: int) -> int:
    """The number of the entry that one request makes, or has made: the same key always asks for the same."""
    key = key_of(life, thread, number)
    book = f"book.{life}.{thread}"
    if number == 0:
        return scribe.buy(key=key, book=book).seq
    return scribe.add(book, a_note(f"note {number}"), key=key).seq


def live(home: str, life: str, most_bytes: int) -> None:
    """Write from several threads until killed, or until the store fails."""
    if most_bytes:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))
    scribe = Scribe(open_log(COLLECTION, open_home(home), EventCodec()), life)

    def work(thread: int) -> None:
        number = 0
        while True:
            try:
                seq = send(scribe, life, thread, number)
            except LedgerError as error:
                os.write(1, f"failed {type(error).__name__}\n".encode())
                return
            os.write(1, f"kept {key_of(life, thread, number)} {seq}\n".encode())
            number += 1

    threads = [threading.Thread(target=work, args=(thread,)) for thread in range(THREADS)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()


def main() -> None:
    """Fork a writer for each line `HOME LIFE MOST_BYTES`, one after another; `cap` bytes of 0 mean no limit."""
    for line in sys.stdin:
        home, life, most_bytes = line.split()
        child = os.fork()
        if child == 0:
            live(home, life, int(most_bytes))
            os._exit(0)
        os.write(1, f"born {child}\n".encode())
        os.waitpid(child, 0)
        os.write(1, b"gone\n")


if __name__ == "__main__":
    main()

"""Serves 100,000 books as the program does, and says on one line where, and with which cookie somebody is signed in."""

import json
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlsplit

from ledger.accounts import Accounts
from ledger.adapters.clock import SystemChance, SystemClock
from ledger.adapters.passwords import Argon2Passwords
from ledger.settings import Settings
from ledger.store.accounts import SqlAccounts
from ledger.store.codec import EventCodec
from ledger.store.engine import open_store
from ledger.store.log import open_log
from ledger.usecases import sign_in
from tests.bench.hundred_thousand import hundred_thousand
from tests.conftest import COLLECTION, ledger_on
from web.door import Door
from web.serving import listen, run
from web.sessions import COOKIE


def serve(folder: Path) -> None:
    """Until it is told to stop."""
    clock, chance = SystemClock(), SystemChance()
    settings = Settings(folder=str(folder), port=0)
    with closing(open_store(folder)) as store, listen(settings) as listening:
        people = SqlAccounts(COLLECTION, store)
        accounts = Accounts(owner="owner", store=people, passwords=Argon2Passwords(), clock=clock, chance=chance)
        secret = sign_in.enter(accounts)
        sys.stdout.write(
            json.dumps({"url": listening.url, "cookie": f"{COOKIE}_{urlsplit(listening.url).port}={secret}"}) + "\n"
        )
        sys.stdout.flush()
        ledger = ledger_on(open_log(COLLECTION, store, EventCodec()), clock=clock, chance=chance)
        run(replace(ledger, accounts=accounts), settings, listening, Door.first(accounts))


if __name__ == "__main__":
    serve(hundred_thousand())

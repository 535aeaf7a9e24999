"""demo and serve: a collection of invented books, or one's own, until Ctrl-C."""

import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import Final

from ledger.settings import Settings
from web.commands.options import (
    AsJson,
    Collection,
    Database,
    Folder,
    Forgotten,
    Host,
    Keys,
    LostKey,
    Phone,
    Port,
    announce,
    settings_of,
)

__all__ = ["LOGS", "demo", "serve"]

LOGS: Final = "log"
"""Folder in the data folder; no backup takes it along."""


def demo(folder: Folder = None, port: Port = 0, as_json: AsJson = False) -> None:
    """Run a told collection of invented books.

    It is gone with Ctrl-C, unless a folder is named for it.
    """
    from seeds.demo import open_demo  # noqa: PLC0415  (a start loads what it needs)
    from web.door import Door  # noqa: PLC0415
    from web.logs import write_logs  # noqa: PLC0415
    from web.serving import listen, people_of, run  # noqa: PLC0415

    with ExitStack() as stack:
        was_told = stack.enter_context(_until_told_to_stop())
        place = folder or Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="slipsheet-demo-")))
        settings = Settings.read({}, folder=str(place), port=port)
        opened = stack.enter_context(open_demo(settings))
        write_logs(place / LOGS)
        listening = stack.enter_context(listen(settings))
        door = Door.made(people_of(opened.ledger).clock, password_optional=True)
        told = {"url": listening.url, "token": opened.token, "sign_in": listening.url + door.path}
        words = (
            f"The demo is at {listening.url}\nSign in once: {told['sign_in']}\nAPI token, ends with it: {opened.token}"
        )
        announce(told, words, as_json=as_json)
        run(opened.ledger, settings, listening, door, was_told=was_told)


def serve(
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
    port: Port = None,
    host: Host = None,
    forgotten: Forgotten = False,
    lost_key: LostKey = False,
    phone: Phone = None,
    as_json: AsJson = False,
) -> None:
    """Serve your own collection."""
    from ledger.bootstrap import open_ledger  # noqa: PLC0415
    from web.commands.phone import code_for, name_for, warn_if_open  # noqa: PLC0415
    from web.door import Door  # noqa: PLC0415
    from web.logs import write_logs  # noqa: PLC0415
    from web.pairing import Pairing  # noqa: PLC0415
    from web.serving import listen, people_of, run  # noqa: PLC0415

    settings = settings_of(folder, keys, database=database, collection=collection, port=port, host=host)
    name = name_for(settings, phone)
    with ExitStack() as stack:
        was_told = stack.enter_context(_until_told_to_stop())
        ledger = stack.enter_context(open_ledger(settings, lost_key=lost_key))
        write_logs(Path(settings.folder) / LOGS)
        listening = stack.enter_context(listen(settings))
        door = Door.first(people_of(ledger), forgotten=forgotten)
        told, words = {"url": listening.url}, f"Your collection is at {listening.url}"
        if door.path:
            told["sign_in"] = listening.url + door.path
            words += f"\nOpen this once, within the hour, and set your password: {told['sign_in']}"
        pairing = Pairing(ledger.clock)
        if name:
            told["phone"], more = code_for(ledger, settings, listening, pairing, name)
            words += f"\n{more}"
        announce(told, words, as_json=as_json)
        warn_if_open(settings)
        run(ledger, settings, listening, door, pairing=pairing, was_told=was_told)


@contextmanager
def _until_told_to_stop() -> Iterator[Callable[[], bool]]:
    """Ctrl-C and a request to end are a good end: all that was opened is closed, and a throw-away folder is gone.

    A server that was told to stop may return by itself before the interrupt reaches it; that is the same end. Whether
    either came is for whoever asks, for an interrupt may be dropped on its way. A shell starts what is to work behind it
    deaf to Ctrl-C; it is heard all the same, as the server hears it once it runs.
    """
    told = []

    def end(number: int, _: object) -> None:
        told.append(number)
        raise KeyboardInterrupt

    before = {each: signal.signal(each, end) for each in (signal.SIGTERM, signal.SIGINT)}
    try:
        with suppress(KeyboardInterrupt):
            yield lambda: bool(told)
        sys.stderr.write("Stopped.\n")
    finally:
        for each, handler in before.items():
            signal.signal(each, handler)

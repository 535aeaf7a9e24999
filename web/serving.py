"""Listens and serves: a socket first, so that the address is known before anything is promised."""

import gc
import logging
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import uvicorn

from ledger.accounts import Accounts
from ledger.errors import ConflictError
from ledger.ports import Ledger
from ledger.settings import Settings
from web.app import create_app
from web.door import Door
from web.pairing import Pairing
from web.reach import Reach

BACKLOG = 128


@dataclass(frozen=True, kw_only=True)
class Listening:
    """A bound socket and the address people type."""

    url: str
    port: int
    socket: socket.socket


@contextmanager
def listen(settings: Settings) -> Iterator[Listening]:
    """The address, taken.

    Raises: ValueError when it is in use or not ours.
    """
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    # Named as TCP, for only then does the event loop send small answers at once instead of 40 ms later.
    bound = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            bound.bind((settings.host, settings.port))
        except OSError as error:
            raise ValueError(
                f"cannot listen on {settings.host} port {settings.port}: {error.strerror}. Name another --port"
            ) from error
        bound.listen(BACKLOG)
        port = bound.getsockname()[1]
        host = f"[{settings.host}]" if family is socket.AF_INET6 else settings.host
        yield Listening(url=f"http://{host}:{port}", port=port, socket=bound)
    finally:
        bound.close()


def people_of(ledger: Ledger) -> Accounts:
    """Who can sign in.

    Raises: ConflictError for a ledger that was opened only to be read.
    """
    if ledger.accounts is None:
        raise ConflictError(sentence="This ledger was opened only to be read, and nobody can sign in to it.")
    return ledger.accounts


class _Server(uvicorn.Server):
    """Stops at once where it was told to before it could hear of it.

    An interrupt that comes while Python works on something of its own, as when it collects what is no longer needed, is
    dropped there, and nobody says it again.
    """

    def __init__(self, config: uvicorn.Config, was_told: Callable[[], bool]) -> None:
        super().__init__(config)
        self._was_told = was_told

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """From here on it hears of every signal itself."""
        await super().startup(sockets)
        self.should_exit = self.should_exit or self._was_told()


def run(  # noqa: PLR0913 - what the program was started with
    ledger: Ledger,
    settings: Settings,
    listening: Listening,
    door: Door,
    *,
    pairing: Pairing | None = None,
    was_told: Callable[[], bool] = lambda: False,
) -> None:
    """Serves until it is told to stop, or not at all where it `was_told` already."""
    reach = Reach.of(settings, listening.port)
    app = create_app(ledger, people_of(ledger), hosts=settings.names, door=door, pairing=pairing, reach=reach)
    # What was loaded stays: it is not to be looked through again and again while somebody waits for a page.
    gc.collect()
    gc.freeze()
    config = uvicorn.Config(app, log_level=logging.WARNING, access_log=False, server_header=False, date_header=True)
    _Server(config, was_told).run(sockets=[listening.socket])

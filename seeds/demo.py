"""Opens the demo: a told collection in a folder, with a token that ends with it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ledger.actor import Permission
from ledger.bootstrap import OWNER, open_ledger
from ledger.errors import ConflictError
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.tokens import issue_token, revoke_token
from seeds.bench import lay_bench
from seeds.climate import lay_climate
from seeds.fixed import COLLECTION, SEED, StoryChance, StoryClock
from seeds.kept import lay
from seeds.market import lay_market
from seeds.messy import lay_messy
from seeds.prospects import lay_prospects
from seeds.rates import keep_most
from seeds.rotation import lay_rotation
from seeds.story import tell
from seeds.wants import lay_wants

LOCK = "slipsheet.lock"
"""Left by the process that told it; the one that opens it makes its own."""


@dataclass(frozen=True, kw_only=True)
class Demo:
    """The told ledger, open, and the secret of a token that may do everything with it for a day."""

    ledger: Ledger
    token: str


@contextmanager
def open_demo(settings: Settings) -> Iterator[Demo]:
    """The demo in the folder of the settings: told if the folder is new, as it was left if it was told before.

    Keeps: the key lies in no file. After the story, time and chance are the machine's. The token ends with the demo.
    Raises: ConflictError for a folder that holds another collection, or anything else; BusyError, StoreError.
    """
    with open_told(settings) as ledger:
        token, secret = issue_token(ledger, OWNER, label="demo", permissions=tuple(Permission), days=1)
        try:
            yield Demo(ledger=ledger, token=secret)
        finally:
            revoke_token(ledger, OWNER, token.id)


@contextmanager
def open_told(settings: Settings) -> Iterator[Ledger]:
    """The told ledger, without a token.

    Raises: as `open_demo`.
    """
    folder = Path(settings.folder)
    is_new = not (folder.is_dir() and any(folder.iterdir()))
    if is_new:
        lay(folder, tell_into)
    with open_ledger(settings, make=False, seed=SEED) as ledger:
        if ledger.collection != COLLECTION:
            raise ConflictError(
                sentence=f"The folder {settings.folder} holds a collection that is not the demo's. Name another folder, "
                "or none: then the demo leaves nothing behind."
            )
        if is_new:
            lay_bench(ledger, OWNER)
            lay_market(ledger, OWNER)
            keep_most(ledger, OWNER)
            lay_prospects(ledger, OWNER)
            lay_rotation(ledger, OWNER)
            lay_wants(ledger, OWNER)
            lay_messy(ledger, OWNER)
        yield ledger


def tell_into(folder: Path) -> None:
    """Tells the whole story into a folder, in the story's own time and with its own chance."""
    clock, chance = StoryClock(), StoryChance()
    settings = Settings(folder=str(folder))
    with open_ledger(settings, clock=clock, chance=chance, seed=SEED, collection=COLLECTION) as ledger:
        tell(ledger, OWNER, clock.put)
        lay_climate(ledger, OWNER)
    (folder / LOCK).unlink(missing_ok=True)

"""Collectors who make records, give them away and receive them; each with a ledger as the program opens it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.actor import Actor, Permission
from ledger.bootstrap import open_ledger
from ledger.events._parts import Face
from ledger.events.purchase import Means
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import (
    Form,
    given,
    made_record,
)
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.receive import look_at, receive
from tests.builders import a_purchase, an_examination, an_intervention, usd
from tests.fakes import FakeClock
from tests.pictures import a_picture
from tests.usecases.telling import OWNER, Teller

CANARIES: dict[str, Any] = {
    "seller": Sealed.of("canary seller"),
    "venue": Sealed.of("canary venue"),
    "reason": Sealed.of("canary reason"),
    "price": Sealed.of(usd("4321.99")),
}
AT_BENCH = Actor(id="phone", scopes=frozenset({Permission.READ, Permission.BENCH}))


@dataclass
class House:
    """One collector's ledger, as the program opens it."""

    ledger: Ledger

    @property
    def teller(self) -> Teller:
        return Teller(self.ledger)

    @property
    def key(self) -> Any:
        return self.ledger.signer.verifier

    def worked_book(self) -> str:
        """A book with work, two photographs and values that nobody is to see."""
        book = self.teller.buy(**CANARIES)
        self.teller.add(book, an_examination(remark=Sealed.of("canary remark")))
        self.teller.add(book, an_intervention(who=Sealed.of("a steady hand"), cost=Sealed.of(usd("77.31"))))
        shots = [Shot(data=a_picture("teal"), said={"face": Face.FRONT, "file_name": Sealed.of("canary-name.jpg")})]
        photograph(self.ledger, OWNER, book, [*shots, Shot(data=a_picture("red"), said={"face": Face.BACK})])
        return book


@contextmanager
def a_house(folder: Path, clock: FakeClock) -> Iterator[House]:
    with open_ledger(Settings(folder=str(folder / "data"), keys=str(folder / "keys")), clock=clock) as ledger:
        yield House(ledger)


def handed(of: House, book: str, form: Form = Form.PAGE) -> bytes:
    """The record of a book as it is given away."""
    return given(of.ledger, made_record(of.ledger, OWNER, issue(of.ledger, OWNER, book, Wish()).sha256), form)


def taken(by: House, data: bytes, *keys: Any) -> str:
    """The book that came with a record."""
    seen = look_at(OWNER, data, keys)
    written = receive(by.ledger, OWNER, seen, purchase=a_purchase("2025-12-24", means=Means.RECEIVED))
    return str(written.entries[0].book)

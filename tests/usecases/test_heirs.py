"""The figures for those who come after: what is there, what left, and the key that checks it."""

from ledger.book import Status
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.sale import Disclosed, Sale
from ledger.events.withdrawal import Withdrawal
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.heirs import for_heirs
from tests.builders import on
from tests.usecases.telling import OWNER, Teller


def test_books_are_counted_by_whether_they_are_still_there(teller: Teller) -> None:
    here, lent, sold, twice = (teller.buy() for _ in range(4))
    teller.buy(expects_arrival=True)
    teller.add(lent, Custody(on=on("2024-03"), direction=Direction.OUT, to_whom=Hands.FRAMER))
    teller.add(sold, Sale(on=on("2024-03"), disclosed=Disclosed.NOTHING))
    teller.add(twice, Withdrawal(same_as=here))
    of = for_heirs(teller.ledger, OWNER)
    assert (of.held, of.away, of.left) == (3, 2, 1)
    assert {Status.OUT.value, Status.EXPECTED.value} == {"in other hands", "bought, not here yet"}
    assert of.entries == teller.head.size


def test_it_names_the_key_and_when_it_was_last_signed(teller: Teller) -> None:
    teller.buy()
    of = for_heirs(teller.ledger, OWNER)
    assert of.vkey == teller.ledger.signer.verifier.vkey
    assert of.signed is None
    assert of.began is not None
    assert of.recorded is not None
    assert of.began <= of.recorded
    signed = sign_checkpoint(teller.ledger, OWNER)
    assert for_heirs(teller.ledger, OWNER).signed == signed.signed

"""Records of the demo's books: two verifiers that share no code say the same of them in every form."""

from pathlib import Path

import pytest

from ledger.bootstrap import OWNER
from ledger.events.purchase import Purchase
from ledger.ports import Ledger
from ledger.proof.given import Asked, check_given
from ledger.proof.signature import parse_vkey
from ledger.settings import Settings
from ledger.usecases.choose import Wish, choices
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, given, made_record
from seeds.demo import open_demo
from tests.proof.agreeing import disagreements, our_verdict


def record_of(ledger: Ledger, book: str, *, all_opened: bool) -> dict[str, bytes]:
    """The record of a book in every form."""
    opened = frozenset((each.seq, each.name) for each in choices(ledger, OWNER, book))
    kept = issue(ledger, OWNER, book, Wish(opened=opened if all_opened else frozenset()))
    made = made_record(ledger, OWNER, kept.sha256)
    return {form.name: given(ledger, made, form) for form in Form}


@pytest.mark.long
def test_both_verifiers_say_the_same_of_every_record_of_the_demo(tmp_path: Path) -> None:
    with open_demo(Settings(folder=str(tmp_path / "demo"))) as demo:
        key = demo.ledger.signer.verifier.vkey
        asked = Asked(keys=(parse_vkey(key),))
        with demo.ledger.log.read() as reader:
            books = [each.book for each in reader.book_heads()]
            owned = [book for book in books if any(isinstance(each.event, Purchase) for each in reader.of_book(book))]
        assert len(owned) > 20
        for number, book in enumerate(owned):
            forms = record_of(demo.ledger, book, all_opened=number % 2 == 0)
            # What one says the other does too, so it is asked of the quicker one.
            assert disagreements(forms.items(), [key]) == []
            assert {our_verdict(check_given(each, asked)) for each in forms.values()} == {"whole"}

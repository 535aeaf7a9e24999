"""An erased value is gone from every file of the folder, every proof still holds, and who was shown it is named."""

from hashlib import sha256
from pathlib import Path

import pytest

from ledger.bootstrap import OWNER, open_ledger
from ledger.errors import RuleError
from ledger.events.correction import Correction
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.erasure import Erased, Erasure
from ledger.ports import Ledger
from ledger.sealed import Sealed, SealState
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.prove import book_proof
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase
from tests.usecases.tampering import a_note
from tests.usecases.telling import Teller

CANARY = "Ottoline Quillfeather"
TWIN = "Barnaby Thistlewood"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))


def holding(settings: Settings, words: str) -> list[str]:
    """Files of the folder in which the words stand, in either encoding a file might use."""
    forms = [words.encode("utf-8"), words.encode("utf-16-le")]
    files = [path for path in Path(settings.folder).rglob("*") if path.is_file()]
    assert files
    return [path.name for path in files if any(form in path.read_bytes() for form in forms)]


def bought(ledger: Ledger, seller: str = CANARY) -> str:
    """A book whose seller is named, recorded with a key over a request that names them too."""
    draft = Draft(event=a_purchase(seller=Sealed.of(seller)), new_book=True)
    asked = Request(key="buy", body=f'{{"seller":"{seller}"}}'.encode())
    return str(record(ledger, OWNER, [draft], asked).entries[0].book)


def add(ledger: Ledger, book: str, *events: Correction | Erasure | Disclosure) -> tuple[str, ...]:
    return record(ledger, OWNER, [Draft(event=event, book=book) for event in events]).warnings


def test_an_erased_name_is_in_no_file_of_the_folder(settings: Settings) -> None:
    with open_ledger(settings) as ledger:
        book = bought(ledger)
        add(ledger, book, Correction(entry=2, changes={"seller": TWIN}))
        record(ledger, OWNER, [Draft(event=a_note("stays"), book=book)], Request(key="note", body=b"note"))
    assert holding(settings, CANARY) == holding(settings, TWIN) == ["slipsheet.sqlite3"]
    with open_ledger(settings) as ledger:
        add(ledger, book, Erasure(entry=2, names=("seller",)))
        # The write-ahead log is folded before the next work is done.
        record(ledger, OWNER, [Draft(event=a_note("stays too"), book=book)])
        assert holding(settings, CANARY) == holding(settings, TWIN) == []
        assert holding(settings, "stays too")
    assert holding(settings, CANARY) == holding(settings, TWIN) == []


def test_after_an_erasure_all_that_was_proven_is_proven_still(settings: Settings) -> None:
    with open_ledger(settings) as ledger:
        book = bought(ledger)
        anchor = sign_checkpoint(ledger, OWNER).note
        add(ledger, book, Erasure(entry=2, names=("seller",)))
        sign_checkpoint(ledger, OWNER)
        report = verify_ledger(ledger, OWNER, anchor=anchor)
        proof = book_proof(ledger, OWNER, book)
    assert report.findings == []
    assert CANARY not in str(proof)


def test_salt_and_value_go_together_with_the_value_a_correction_sealed_anew(teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of(CANARY), venue=Sealed.of("a fair"))
    corrected = teller.add(book, Correction(entry=2, changes={"seller": TWIN}))
    erasure = teller.add(book, Erasure(entry=2, names=("seller",)))
    assert isinstance(erasure.event, Erasure)
    assert erasure.event.erased == (Erased(entry=2, name="seller"), Erased(entry=corrected.seq, name="new.seller"))
    with teller.ledger.log.read() as reader:
        kept = {(each.seq, each.name): each for each in reader.sealed_between(1, 100)}
        states = reader.entry(2).event.sealed_fields()
    assert [(kept[place].salt, kept[place].value) for place in ((2, "seller"), (3, "new.seller"))] == [(None, None)] * 2
    assert kept[2, "venue"].value == "a fair"
    assert (states["seller"].state, states["venue"].state) == (SealState.ERASED, SealState.OPEN)


def test_the_salts_of_every_request_that_held_it_go_and_no_others(teller: Teller) -> None:
    draft = Draft(event=a_purchase(seller=Sealed.of(CANARY)), new_book=True)
    book = str(teller.tell(draft, key="buy", body=CANARY.encode()).entries[0].book)
    teller.tell(Draft(event=a_note("of another request"), book=book), key="note", body=b"note")
    correction = Correction(entry=2, changes={"seller": TWIN})
    teller.tell(Draft(event=correction, book=book), key="correct", body=TWIN.encode())
    teller.add(book, Erasure(entry=2, names=("seller",)))
    with teller.ledger.log.read() as reader:
        found = {key: reader.receipt(key) for key in ("buy", "note", "correct")}
    assert all(found.values())
    gone = {key: (each.salt, each.request) == (None, None) for key, each in found.items() if each}
    assert gone == {"buy": True, "note": False, "correct": True}
    # Nothing is left to compare with, so the key answers whatever it is asked with, and writes nothing.
    again = teller.tell(draft, key="buy", body=b"something else")
    assert (again.replayed, again.entries[0].seq) == (True, 2)


def test_a_value_written_and_erased_in_one_act_leaves_no_hash_of_the_request_either(teller: Teller) -> None:
    book = teller.buy()
    said = Draft(event=a_note(CANARY), book=book)
    teller.tell(said, Draft(event=Erasure(entry=3, names=("words",)), book=book), key="both", body=CANARY.encode())
    with teller.ledger.log.read() as reader:
        receipt = reader.receipt("both")
    assert receipt
    assert (receipt.salt, receipt.request) == (None, None)


def test_what_is_erased_cannot_be_erased_again_not_even_in_the_same_act(teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of(CANARY))
    twice = [Draft(event=Erasure(entry=2, names=("seller",)), book=book) for _ in range(2)]
    error = teller.refused(*twice, error=RuleError)
    assert [(each.field, each.rule) for each in error.problems] == [("events.1.names", "erasure.4")]
    teller.tell(twice[0])
    error = teller.refused(twice[1], error=RuleError)
    assert [each.rule for each in error.problems] == ["erasure.4"]


def test_a_value_of_the_collection_itself_can_be_erased(teller: Teller) -> None:
    noted = teller.add(None, a_note(CANARY))
    teller.add(None, Erasure(entry=noted.seq, names=("words",)))
    with teller.ledger.log.read() as reader:
        assert reader.entry(noted.seq).event.sealed_fields()["words"].state is SealState.ERASED


def test_whoever_was_shown_the_value_in_a_record_is_named(teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of(CANARY), venue=Sealed.of("a fair"))
    with teller.ledger.log.read() as reader:
        head = reader.book_head(book).leaf
    statement = sha256(b"a record").hexdigest()
    opened = (Opened(entry=2, name="seller"), Opened(entry=2, name="reason"))
    record_made = teller.add(book, Disclosure(statement=statement, opened=opened, previous_head=head))
    told = teller.tell(Draft(event=Erasure(entry=2, names=("seller",)), book=book), key="k", body=b"x")
    assert told.warnings == (
        f"seller of entry 2 was shown in the record of entry {record_made.seq}; whoever received it still has it.",
    )
    assert teller.tell(Draft(event=Erasure(entry=2, names=("venue",)), book=book)).warnings == ()


def test_the_lists_show_the_book_as_before_and_only_its_words_are_fewer(teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of(CANARY))
    with teller.ledger.log.read() as reader:
        before = next(reader.listings())
    teller.add(book, Erasure(entry=2, names=("seller",)))
    with teller.ledger.log.read() as reader:
        after = next(reader.listings())
    assert (before.row.title, before.search) == (after.row.title, after.search)
    assert (before.row.entries, after.row.entries) == (1, 2)
    assert set(before.words) - set(after.words) == {"ottoline", "quillfeather"}

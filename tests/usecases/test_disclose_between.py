"""What comes in between while a record is made: an erasure, another book, another key, a damaged file."""

from base64 import b64encode
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from functools import partial
from pathlib import Path
from time import monotonic, sleep
from typing import Final, TypeVar

import pytest

from ledger.errors import ConflictError, DamagedError
from ledger.events.disclosure import Disclosure
from ledger.events.erasure import Erasure
from ledger.handing import HandingReader, HandingStore, HandingWriter
from ledger.ports import Anchor, Ledger
from ledger.proof.forms import check_file
from ledger.usecases.choose import Wish, choices, preview
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, given, made_now, made_record, make_link, records_of
from ledger.usecases.record import Draft, Request
from tests.usecases.houses import House
from tests.usecases.telling import OWNER

T = TypeVar("T")
CANARY: Final = b"canary seller"
LONG_ENOUGH: Final = 20.0
"""Seconds after which even a busy machine has scrubbed the log."""


class Between:
    """A store of records in which something happens right before, or right after, what is written next."""

    def __init__(self, inner: HandingStore, happens: Callable[[], object], *, after: bool = False) -> None:
        self.inner, self.happens, self.after = inner, happens, after

    def read(self) -> AbstractContextManager[HandingReader]:
        return self.inner.read()

    def write(self, work: Callable[[HandingWriter], T]) -> T:
        happens, self.happens = self.happens, lambda: None
        if not self.after:
            happens()
        done = self.inner.write(work)
        if self.after:
            happens()
        return done


class Meeting:
    """An anchor at which something happens whenever it is read."""

    def __init__(self, inner: Anchor, happens: Callable[[], object]) -> None:
        self.inner, self.happens, self.place = inner, happens, inner.place

    def read(self) -> str | None:
        self.happens()
        return self.inner.read()

    def swap(self, expected: str | None, note: str | None) -> bool:
        return self.inner.swap(expected, note)


def seller_of(house: House, book: str) -> int:
    return next(each.seq for each in choices(house.ledger, OWNER, book) if each.name == "seller")


def told_of(ledger: Ledger, book: str) -> list[int]:
    """The entries that tell of a record."""
    with ledger.log.read() as reader:
        return [each.seq for each in reader.of_book(book) if isinstance(each.event, Disclosure)]


def where_found(folder: Path) -> list[str]:
    """Files in which the value can be read, as it is or as a kept record has it."""
    # In base64 three bytes are four letters: what of it falls on whole groups, wherever it begins in the record.
    shifted = [b64encode(b"-" * shift + CANARY)[4 if shift else 0 : -4] for shift in range(3)]
    files = [each for each in folder.rglob("*") if each.is_file()]
    return [each.name for each in files if any(one in each.read_bytes() for one in (CANARY, *shifted))]


def gone_soon(folder: Path) -> bool:
    end = monotonic() + LONG_ENOUGH
    while where_found(folder) and monotonic() < end:
        sleep(0.01)
    return not where_found(folder)


@pytest.mark.parametrize("when", ["before it is kept", "after it is kept"])
def test_what_is_erased_while_its_record_is_made_is_in_no_record(house: House, tmp_path: Path, when: str) -> None:
    book = house.worked_book()
    seq = seller_of(house, book)
    erasure = Draft(event=Erasure(entry=seq, names=("seller",)), book=book)
    assert house.ledger.handing is not None
    between = Between(house.ledger.handing, lambda: house.teller.tell(erasure), after=when.startswith("after"))
    asked, wish = Request(key="k1", body=b"x"), Wish(opened=frozenset({(seq, "seller")}))
    with pytest.raises(ConflictError, match=f"seller of entry {seq} was erased, so the record is not kept"):
        issue(replace(house.ledger, handing=between), OWNER, book, wish, asked)
    assert records_of(house.ledger, OWNER, book) == []
    with pytest.raises(ConflictError, match="was cut off before it was kept"):
        issue(house.ledger, OWNER, book, Wish(), replace(asked, tags=None))
    assert len(told_of(house.ledger, book)) == 1
    assert gone_soon(tmp_path)


def test_an_erasure_of_something_else_meanwhile_hurts_no_record(house: House) -> None:
    book = house.worked_book()
    seq = seller_of(house, book)
    erasure = Draft(event=Erasure(entry=seq, names=("venue",)), book=book)
    assert house.ledger.handing is not None
    between = Between(house.ledger.handing, lambda: house.teller.tell(erasure))
    kept = issue(replace(house.ledger, handing=between), OWNER, book, Wish(opened=frozenset({(seq, "seller")})))
    assert records_of(house.ledger, OWNER, book) == [kept]


def test_after_an_erasure_nothing_of_a_record_taken_out_is_in_any_file_while_the_ledger_is_open(
    house: House, tmp_path: Path
) -> None:
    book = house.worked_book()
    seq = seller_of(house, book)
    kept = issue(house.ledger, OWNER, book, Wish(opened=frozenset({(seq, "seller")})))
    make_link(house.ledger, OWNER, kept.sha256, days=1)
    assert where_found(tmp_path) != []
    house.teller.tell(Draft(event=Erasure(entry=seq, names=("seller",)), book=book))
    assert gone_soon(tmp_path)


def test_a_record_is_made_though_another_book_is_written_right_after_the_checkpoint(house: House) -> None:
    book = house.worked_book()
    bought: list[str] = []
    assert house.ledger.anchor is not None
    anchor = Meeting(house.ledger.anchor, lambda: bought.append(house.teller.buy()))
    kept = issue(replace(house.ledger, anchor=anchor), OWNER, book, Wish())
    report = check_file(given(house.ledger, made_record(house.ledger, OWNER, kept.sha256), Form.PAGE), [house.key])
    assert bought
    assert report.trusted
    assert [each.seq for each in report.entries][-1:] == told_of(house.ledger, book)


def test_with_a_key_that_is_not_the_one_in_use_nothing_is_written(house: House, other: House) -> None:
    book = house.worked_book()
    wrong = replace(house.ledger, signer=other.ledger.signer)
    refused = house.teller.nothing_written(lambda: issue(wrong, OWNER, book, Wish()), ConflictError)
    assert str(refused).startswith("The key file at hand is not the key in use.")
    assert records_of(house.ledger, OWNER, book) == []


def picture_file(folder: Path, sha256: str) -> Path:
    return folder / "first" / "data" / "pictures" / sha256[:2] / sha256


def test_a_photograph_whose_file_was_damaged_is_named_before_anything_is_written(house: House, tmp_path: Path) -> None:
    book = house.worked_book()
    front, back = preview(house.ledger, OWNER, book, Wish()).pictures
    path = picture_file(tmp_path, back.sha256)
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    makes: Sequence[Callable[..., object]] = (preview, issue, made_now)
    for make in makes:
        refused = house.teller.nothing_written(partial(make, house.ledger, OWNER, book, Wish()), DamagedError)
        assert str(refused).startswith(f"Photograph {back.sha256[:12]} at entry ")
    place = int(str(refused).split(" at entry ")[1].split(":")[0])
    kept = issue(house.ledger, OWNER, book, Wish(pictures=frozenset({place - 1})))
    assert made_record(house.ledger, OWNER, kept.sha256).beside.keys() == {front.sha256}


def test_a_photograph_that_is_damaged_after_the_record_was_made_is_named_when_it_is_given(
    house: House, tmp_path: Path
) -> None:
    kept = issue(house.ledger, OWNER, book := house.worked_book(), Wish())
    shown = preview(house.ledger, OWNER, book, Wish()).pictures[0].sha256
    picture_file(tmp_path, shown).write_bytes(b"\xff\xd8 something else")
    with pytest.raises(DamagedError, match=f"Photograph {shown[:12]}: it is not what its name says"):
        made_record(house.ledger, OWNER, kept.sha256)
    picture_file(tmp_path, shown).unlink()
    made = made_record(house.ledger, OWNER, kept.sha256)
    assert made.lost == (shown,)
    with pytest.raises(ConflictError, match=shown[:12]):
        given(house.ledger, made, Form.BAG)
    assert given(house.ledger, made, Form.FILE) == kept.data


def test_a_photograph_whose_file_is_gone_stays_at_home(house: House, tmp_path: Path) -> None:
    book = house.worked_book()
    front, back = preview(house.ledger, OWNER, book, Wish()).pictures
    picture_file(tmp_path, front.sha256).unlink()
    seen = preview(house.ledger, OWNER, book, Wish())
    assert (seen.pictures, len(seen.left_out)) == ((back,), 1)


def test_a_record_given_in_one_go_is_the_one_that_is_given_later(house: House) -> None:
    book = house.worked_book()
    made = made_now(house.ledger, OWNER, book, Wish())
    assert made == made_record(house.ledger, OWNER, made.kept.sha256)
    assert len(made.beside) == 2

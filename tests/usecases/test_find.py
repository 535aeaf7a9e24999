"""Anything written of a book finds it, in every kind of store: misspelt too, erased no more, and only for who may read."""

from pathlib import Path

import pytest

from ledger.actor import Actor, Permission
from ledger.errors import ForbiddenError, InvalidError
from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.sealed import Sealed
from ledger.usecases.find import TEXTS_MOST, WORDS_MOST, Found, find
from ledger.usecases.record import Draft
from tests.builders import a_slab, an_issue, usd
from tests.conftest import Kept
from tests.store.writing import OWNER, Scribe, a_note

SELLERS = {"Amber Anchor": "Orrin Vale", "Bold Beacon": "Tamsin Holloway", "Copper Comet": "Dock Row Paper Fair"}


@pytest.fixture
def scribe(store: Kept) -> Scribe:
    made = Scribe(store.log)
    for number, (title, seller) in enumerate(SELLERS.items(), start=1):
        made.buy(book=f"b{number}", issue=an_issue(title=title, number=str(number)), seller=Sealed.of(seller))
    made.add("b2", Note(words=Sealed.of("The cover flickers under a raking lamp. Lot N-4711.")))
    return made


def titles(found: Found) -> list[str]:
    return [each.row.title for each in found.books]


def looked(scribe: Scribe, text: str) -> Found:
    return find(scribe.ledger, OWNER, text)


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("amber", "Amber Anchor"),
        ("AMB anch", "Amber Anchor"),
        ("vale", "Amber Anchor"),
        ("tams hollo", "Bold Beacon"),
        ("raking", "Bold Beacon"),
        ("n-47", "Bold Beacon"),
        ("4711", "Bold Beacon"),
        ("comet dock", "Copper Comet"),
    ],
)
def test_a_book_is_found_by_any_word_and_by_how_it_begins(scribe: Scribe, text: str, title: str) -> None:
    found = looked(scribe, text)
    assert titles(found) == [title]
    assert found.meant == ()


@pytest.mark.parametrize(
    ("text", "title", "meant"),
    [
        ("ambre", "Amber Anchor", "amber"),
        ("ambre ancohr", "Amber Anchor", "amber"),
        ("orrni vael", "Amber Anchor", "orrin"),
        ("abmer", "Amber Anchor", "amber"),
        ("dok coppre", "Copper Comet", "dock"),
        ("flikers", "Bold Beacon", "flickers"),
        ("holoway", "Bold Beacon", "holloway"),
        ("copper commet", "Copper Comet", "comet"),
    ],
)
def test_a_misspelt_word_is_taken_for_those_most_like_it(scribe: Scribe, text: str, title: str, meant: str) -> None:
    found = looked(scribe, text)
    assert titles(found) == [title]
    assert meant in found.meant[0].words


def test_a_word_that_stands_somewhere_is_meant_otherwise_only_where_nothing_else_is_found(scribe: Scribe) -> None:
    scribe.buy(book="b4", issue=an_issue(title="Sliver", number="9"))
    scribe.buy(book="b5", issue=an_issue(title="Silver Lamp", number="9"))
    assert titles(looked(scribe, "sliver")) == ["Sliver"]
    assert titles(looked(scribe, "sliver lamp")) == ["Silver Lamp"]


def test_a_number_is_found_whole_and_no_sum_or_other_number_that_begins_so(scribe: Scribe) -> None:
    for book, number, price in (
        ("n1", "41", "7.00"),
        ("n2", "410", "8.00"),
        ("n3", "6", "410.00"),
        ("n4", "7", "41.00"),
    ):
        scribe.buy(book=book, issue=an_issue(title=f"Dray {book}", number=number), price=Sealed.of(usd(price)))
    scribe.buy(book="n5", issue=an_issue(title="Dray n5", number="41A"), price=Sealed.of(usd("9.00")))
    assert titles(looked(scribe, "41")) == ["Dray n1", "Dray n5"]
    assert titles(looked(scribe, "dray 410")) == ["Dray n2"]
    assert titles(looked(scribe, "410.00")) == titles(looked(scribe, "410.0")) == ["Dray n3"]
    found, _ = looked(scribe, "41").books
    assert [each.field for each in found.texts] == ["Number"]


def test_digits_are_left_out_where_nothing_else_is_found_and_of_a_sum_those_behind_its_point(scribe: Scribe) -> None:
    scribe.buy(book="n1", issue=an_issue(title="Dray", number="6"), price=Sealed.of(usd("523.00")))
    scribe.buy(book="n2", issue=an_issue(title="Cart", number="5231"), price=Sealed.of(usd("7.00")))
    assert titles(looked(scribe, "523")) == ["Cart", "Dray"]
    assert titles(looked(scribe, "52")) == ["Cart"]
    (book,) = looked(scribe, "dray 523").books
    assert [each.text for each in book.texts] == ["Dray", "523.00 USD"]
    assert not looked(scribe, "52").is_marked("523.00")


def test_a_misspelt_word_beside_a_number_keeps_the_number_whole(scribe: Scribe) -> None:
    scribe.buy(book="n1", issue=an_issue(title="Amber Dray", number="7"), price=Sealed.of(usd("120.00")))
    scribe.buy(book="n2", issue=an_issue(title="Amber Cart", number="12"), price=Sealed.of(usd("7.00")))
    found = looked(scribe, "ambre 12")
    assert titles(found) == ["Amber Cart"]
    assert found.meant[0].asked == "ambre"


def test_a_number_is_never_taken_for_another(scribe: Scribe) -> None:
    assert looked(scribe, "4712").books == ()
    assert looked(scribe, "n-4712").books == ()
    assert looked(scribe, "").books == ()


def test_the_texts_that_hold_a_word_are_named_with_their_entries(scribe: Scribe) -> None:
    (book,) = looked(scribe, "tamsin flicker").books
    assert [(each.entry, each.kind, each.field) for each in book.texts] == [
        (2, "purchase", "Seller"),
        (4, "note", "Words"),
    ]
    for number in range(TEXTS_MOST):
        scribe.add("b2", a_note(f"flicker {number}"))
    (book,) = looked(scribe, "flicker").books
    assert (len(book.texts), book.more) == (TEXTS_MOST, 1)


def test_an_erased_value_is_found_no_more_misspelt_or_not(scribe: Scribe) -> None:
    assert titles(looked(scribe, "orrni")) == ["Amber Anchor"]
    scribe.add("b1", Erasure(entry=1, names=("seller",)))
    for text in ("orrin", "vale", "orrni", "vael"):
        assert looked(scribe, text).books == (), text
    assert titles(looked(scribe, "amber")) == ["Amber Anchor"]


def test_its_words_are_in_no_row_and_in_no_file_any_more(store: Kept, scribe: Scribe) -> None:
    assert "orrin" in listed(scribe)
    scribe.add("b1", Erasure(entry=1, names=("seller",)))
    scribe.add("b1", a_note("the log is folded before this"))
    assert "orrin" not in listed(scribe)
    assert _files_with(store.folder, b"orrin") == []


def listed(scribe: Scribe) -> set[str]:
    with scribe.log.read() as reader:
        return {word for each in reader.listings() for word in each.words}


def _files_with(folder: Path, word: bytes) -> list[str]:
    files = [path for path in folder.rglob("*") if path.is_file()]
    return [path.name for path in files if word in path.read_bytes().lower()]


def test_the_pages_further_on_are_told_of(scribe: Scribe) -> None:
    found = find(scribe.ledger, OWNER, "o", limit=1)
    assert found.books == ()
    found = find(scribe.ledger, OWNER, "cop", limit=1)
    assert (titles(found), found.more) == (["Copper Comet"], False)
    scribe.buy(book="b6", issue=an_issue(title="Copal", number="1"))
    found = find(scribe.ledger, OWNER, "cop", limit=1)
    assert (titles(found), found.more) == (["Copal"], True)


def test_holder_numbers_and_graders_are_found(scribe: Scribe) -> None:
    slab = a_slab(holder_number="77-1040", stated_by=Sealed.of("Third Bench"))
    scribe.write(Draft(event=slab, new_book=True, id="b7"))
    for text in ("77-10", "third bench"):
        assert [each.row.book for each in looked(scribe, text).books] == ["b7"], text


def test_whoever_may_not_read_finds_nothing(scribe: Scribe) -> None:
    for scopes in ({Permission.BENCH}, {Permission.RECORD}, {Permission.SIGN}):
        with pytest.raises(ForbiddenError):
            find(scribe.ledger, Actor(id="other", scopes=scopes), "amber")
    reader = Actor(id="other", scopes={Permission.READ})
    assert titles(find(scribe.ledger, reader, "amber")) == ["Amber Anchor"]


def test_a_text_that_was_pasted_is_refused(scribe: Scribe) -> None:
    with pytest.raises(InvalidError, match="at most"):
        looked(scribe, " ".join(f"w{number}" for number in range(WORDS_MOST + 1)))

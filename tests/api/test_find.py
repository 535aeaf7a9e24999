"""Find over REST: any word of a book, misspelt too, with the texts that hold it; only for a token that may read."""

from ledger.actor import Permission
from tests.api.door import Door

ISSUE = {"title": "Amber Anchor", "number": "7"}


def test_a_book_is_found_by_its_seller_with_the_text(real_door: Door) -> None:
    book = real_door.a_book(issue=ISSUE, seller="Orrin Vale")
    real_door.a_book(issue={"title": "Bold Beacon", "number": "1"})
    told = real_door.get("/find?q=orrin vale").json()
    (found,) = told["books"]
    assert (found["book"], found["title"], found["number"]) == (book, "Amber Anchor", "7")
    assert [(each["kind"], each["field"], each["text"]) for each in found["texts"]] == [
        ("purchase", "Seller", "Orrin Vale")
    ]
    assert (told["more"], told["meant"], found["more_texts"]) == (False, [], 0)


def test_a_misspelt_word_is_named_with_what_it_was_taken_for(real_door: Door) -> None:
    real_door.a_book(issue=ISSUE)
    told = real_door.get("/find?q=ambre").json()
    assert [each["title"] for each in told["books"]] == ["Amber Anchor"]
    assert told["meant"] == [{"asked": "ambre", "words": ["amber"]}]


def test_an_erased_value_is_found_no_more(real_door: Door) -> None:
    book = real_door.a_book(issue=ISSUE, seller="Orrin Vale")
    seq = real_door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    real_door.an_event(book, "erasure", entry=seq, names=["seller"])
    assert real_door.get("/find?q=orrin").json()["books"] == []


def test_a_token_that_may_not_read_finds_nothing(real_door: Door) -> None:
    real_door.a_book(issue=ISSUE, seller="Orrin Vale")
    for permission in (Permission.BENCH, Permission.RECORD, Permission.SIGN):
        assert real_door.as_other(permission).get("/find?q=amber").status_code == 403
    assert real_door.as_other(Permission.READ).get("/find?q=amber").json()["books"]


def test_what_is_no_search_is_refused(real_door: Door) -> None:
    assert real_door.get("/find").status_code in (400, 422)
    assert real_door.get("/find?q=a&z=1").status_code in (400, 422)
    many = " ".join(f"w{number}" for number in range(14))
    answer = real_door.get(f"/find?q={many}")
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "q"

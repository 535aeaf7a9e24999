"""A book as Linked Art over REST, with sealed values only on its owner's wish."""

import json

from ledger.actor import Permission
from tests.api.door import Door, problem
from tests.linked import expanded, unknown_words

SELLER = "A shop by the pier"


def test_over_rest_sealed_values_take_more_than_reading(door: Door) -> None:
    book = door.a_book(seller=SELLER)
    answer = door.get(f"/books/{book}.jsonld")
    assert answer.headers["content-type"] == "application/ld+json"
    assert list(unknown_words(answer.json())) == []
    assert len(expanded(json.loads(answer.text))) > 10
    assert SELLER not in answer.text
    assert SELLER in door.get(f"/books/{book}.jsonld?sealed=true").text
    reader = door.as_other(Permission.READ)
    assert reader.get(f"/books/{book}.jsonld").status_code == 200
    problem(reader.get(f"/books/{book}.jsonld?sealed=true"), 403)
    problem(door.get("/books/b7q2m4x6n5k3j8h2g4f6d5s3a7.jsonld"), 404)

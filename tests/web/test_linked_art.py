"""A book as a file of Linked Art, taken from its page, with sealed values only on its owner's wish."""

import json
from typing import Any

from ledger.bootstrap import OWNER
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.linked import expanded, unknown_words
from tests.web.browser import Browser
from tests.web.markup import read_page

SELLER = "A shop by the pier"


def read(data: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(data)
    assert list(unknown_words(document)) == []
    assert len(expanded(document)) > 10
    return document


def test_the_page_of_a_book_leads_to_its_file_without_and_with_what_is_sealed(
    ledger: Ledger, signed_in: Browser
) -> None:
    book = str(
        record(ledger, OWNER, [Draft(event=a_purchase(seller=Sealed.of(SELLER)), new_book=True)]).entries[0].book
    )
    links = [each.attrs.get("href", "") for each in read_page(signed_in.get(f"/books/{book}").text).all("a")]
    shut, whole = [each for each in links if "linked-art" in each]
    answer = signed_in.get(shut)
    assert answer.headers["content-type"] == "application/ld+json"
    assert "attachment" in answer.headers["content-disposition"]
    read(answer.text)
    assert SELLER not in answer.text
    assert SELLER in signed_in.get(whole).text
    assert signed_in.get("/books/nobody/linked-art.jsonld").status_code == 404

"""What a guided look says of defects that were seen before, and what it refuses to say of them."""

from typing import Any

import pytest

from ledger.events._parts import Answer, Face, OpinionOf
from ledger.ports import Ledger
from tests.builders import a_defect, a_purchase, an_examination
from tests.web.browser import Browser, text_of
from tests.web.looks import TEAR, a_seen_book, defect, page_at, row, send, states, turn, write, written
from tests.web.stories import Shelf


@pytest.fixture
def book(shelf: Shelf) -> str:
    return a_seen_book(shelf)


def test_all_that_are_not_answered_can_be_as_they_were(signed_in: Browser, ledger: Ledger, book: str) -> None:
    turn(
        signed_in, book, "front", said={"rest.front": ["same"], "known.d3.is": "worse", "known.d3.share_percent": "15"}
    )
    assert write(signed_in, book).status_code == 303
    look = written(ledger, book)
    assert [(each.id, each.gone) for each in look.defects] == [("d1", False), ("d3", False)]
    assert (defect(look, "d1").size_mm, defect(look, "d3").share_percent) == ("12", 15)
    assert "d4" not in {each.id for each in look.defects}, "what had gone is not found again by that"


def test_what_had_gone_is_looked_for_too_and_may_have_come_back(signed_in: Browser, ledger: Ledger, book: str) -> None:
    offered = page_at(signed_in, book, "front").one("fieldset", id="known.d4").all("input", name="known.d4.is")
    assert [each.attrs["value"] for each in offered] == ["", "gone", "back"]
    turn(signed_in, book, "front", said={"known.d4.is": "back", "known.d4.size_mm": "2"})
    assert write(signed_in, book).status_code == 303
    assert (defect(written(ledger, book), "d4").gone, defect(written(ledger, book), "d4").size_mm) == (False, "2")


WRONG = [
    ({"known.d1.is": "less"}, "known.d1.size_mm", "this is not less"),
    ({"known.d1.is": "less", "known.d1.size_mm": "11.5"}, "known.d1.size_mm", "this is not less"),
    ({"known.d1.is": "worse", "known.d1.size_mm": "3"}, "known.d1.size_mm", "this is not more"),
    ({"known.d1.is": "same", "known.d1.size_mm": "3"}, "known.d1.size_mm", "another measure"),
    ({"known.d1.is": "same", "known.d1.size_mm": ""}, "known.d1.size_mm", "measured by"),
    ({"known.d3.is": "worse", "known.d3.share_percent": "x"}, "known.d3.share_percent", "no whole number"),
    (row(0, type="tear", breaks_colour="yes"), "defects.0.size_mm", "measured by"),
    (row(0, size_mm="3"), "defects.0.type", "needed"),
    (row(0, type="tear", size_mm="long"), "defects.0.size_mm", "no measure"),
    (
        row(0, type="crease", breaks_colour="no", size_mm="3"),
        "defects.0.breaks_colour",
        "A crease that breaks no colour",
    ),
    (row(0, **TEAR, region__x_mm="3"), "defects.0.region.y_mm", "needed"),
]


@pytest.mark.parametrize(("said", "field", "mend"), WRONG)
def test_what_is_wrong_is_told_at_its_field_before_the_book_is_turned(
    signed_in: Browser, book: str, said: dict[str, Any], field: str, mend: str
) -> None:
    answer = send(signed_in, book, "front", "next", said)
    assert answer.status_code == 422
    assert mend in text_of(answer)
    assert f'id="{field}-fault"' in answer.text
    assert states(page_at(signed_in, book))["front"] == "now"
    for name, value in said.items():
        assert f'value="{value}"' in answer.text or not value, name


def test_less_by_a_natural_millimetre_is_the_same(signed_in: Browser, book: str) -> None:
    assert turn(signed_in, book, "front", said={"known.d1.is": "same", "known.d1.size_mm": "11.5"}) == "spine"


def test_what_has_no_measure_is_there_or_gone_and_a_claim_is_seen_or_not(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    off = a_defect("d1", "centre-leaf-off", face=Face.INSIDE, size_mm=None)
    claim = a_defect("d2", "tear", face=Face.INSIDE, breaks_colour=Answer.YES, size_mm="7", claimed_by=OpinionOf.SELLER)
    book = shelf.takes(a_purchase(), an_examination("2024-03-01", defects=(off, claim)))
    page = page_at(signed_in, book, "inside")
    offered = {
        name: [each.attrs["value"] for each in page.all("input", name=f"known.{name}.is")] for name in ("d1", "d2")
    }
    assert offered == {"d1": ["", "same", "gone"], "d2": ["", "same"]}
    turn(signed_in, book, "inside", said={"known.d1.is": "same", "known.d2.is": "same"})
    assert write(signed_in, book).status_code == 303
    assert defect(written(ledger, book), "d2").claimed_by is None
    assert [each.id for each in written(ledger, book).defects] == ["d1", "d2"]

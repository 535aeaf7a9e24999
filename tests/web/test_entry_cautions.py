"""Cautions stand where a step is entered, the one that surely holds in sight."""

import pytest

from ledger.events._parts import Holding
from ledger.ports import Ledger
from ledger.rules.cautions import cautions
from ledger.rules.techniques import Technique, techniques
from tests.builders import a_slab
from tests.web.browser import Browser, form_to
from tests.web.entry_forms import PATH, address, book_for, gone, opened, sent
from tests.web.markup import read_page
from tests.web.typed import last, written


def test_the_caution_of_the_chosen_technique_is_in_sight_and_the_table_speaks(
    ledger: Ledger, signed_in: Browser
) -> None:
    book = book_for(ledger, "intervention", 0)
    answer = sent(signed_in, address("intervention", book), {"technique": "hot-press-dry", "do": "show"})
    page = read_page(answer.text)
    cautions = page.one("div", class_="cautions").all("details")
    assert [each.one("summary").text for each in cautions if "open" in each.attrs] == ["Hot press and tacking iron"]
    assert "Both burn hands" in cautions[0].text
    assert "non-additive" in page.one("aside").text
    assert form_to(answer, PATH).fields["technique"] == "hot-press-dry"


@pytest.mark.parametrize("each", [each for each in techniques() if each.caution], ids=lambda each: each.id)
def test_each_technique_that_can_hurt_hands_eyes_or_lungs_has_its_caution_in_sight_where_it_is_chosen(
    ledger: Ledger, signed_in: Browser, each: Technique
) -> None:
    assert each.caution is not None
    page = read_page(
        signed_in.get(address("intervention", book_for(ledger, "intervention", 0), technique=each.id)).text
    )
    first, *others = page.one("div", class_="cautions").all("details")
    assert "open" in first.attrs
    assert (first.one("summary").text, first.one("p").text) == (each.caution.title, each.caution.text)
    assert {other.one("summary").text for other in others} | {each.caution.title} == {
        one.title for one in cautions().values()
    }
    assert not any("open" in other.attrs for other in others)


def test_at_the_bench_every_caution_stands_beside_the_choice_of_the_technique(
    ledger: Ledger, signed_in: Browser
) -> None:
    page = read_page(signed_in.get(f"/bench/start?book={book_for(ledger, 'intervention', 0)}").text)
    assert page.one("select", name="technique")
    for each in cautions().values():
        assert each.text in page.text


@pytest.mark.parametrize(
    ("kind", "number", "title"),
    [("opening", 0, "Blades and opening a holder"), ("placement", 0, "Lifting and hanging")],
)
def test_a_caution_that_always_holds_is_in_sight(
    ledger: Ledger, signed_in: Browser, kind: str, number: int, title: str
) -> None:
    page = read_page(signed_in.get(address(kind, book_for(ledger, kind, number))).text)
    (caution,) = page.one("div", class_="cautions").all("details")
    assert "open" in caution.attrs
    assert caution.one("summary").text == title
    assert "ask a paper conservator" in caution.text


def test_a_defect_of_mould_brings_its_caution_into_sight(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "examination", 0)
    answer = sent(signed_in, address("examination", book), {"defects.0.type": "mould", "do": "add:defects"})
    (caution,) = read_page(answer.text).one("div", class_="cautions").all("details")
    assert (caution.one("summary").text, "open" in caution.attrs) == ("Mould", True)


def test_a_slabbed_book_bought_again_goes_on_its_own_chain(ledger: Ledger, signed_in: Browser) -> None:
    book = written(ledger, a_slab("1970"), gone("1975"))[0].book
    fields = opened(signed_in, address("purchase", book)).fields
    assert (fields["means"], fields["issue.title"]) == ("came back", "Captain Lantern")
    sent(signed_in, address("purchase", book), {"on": "1980"})
    entry = last(ledger)
    assert (entry.book, entry.event.kind) == (book, "purchase")
    with ledger.log.read() as reader:
        assert reader.book(book or "").holding == Holding.SLABBED

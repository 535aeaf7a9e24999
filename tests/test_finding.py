"""What a search looks through: which texts of a book there are, which words are in them, and which are marked."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events.correction import Correction
from ledger.events.note import Note
from ledger.events.photograph import Photograph
from ledger.events.withdrawal import Withdrawal
from ledger.finding import WORD_MOST, all_words, asked_words, pieces, said_in, words_in
from ledger.folding import folded
from ledger.history import Moment, history
from ledger.sealed import Sealed
from tests.builders import CODEC, a_purchase, an_examination, an_intervention, an_issue, chain, usd


def moments(*events: object) -> list[Moment]:
    return history(chain(*events), CODEC)  # type: ignore[arg-type]  # events all


def texts(*events: object) -> dict[str, str]:
    return {f"{each.event}, {each.field}": each.text for each in said_in(moments(*events))}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("The Élan  Vital", {"the", "elan", "vital"}),
        ("Holder N-1034/7.", {"holder", "n-1034/7", "n", "1034/7"}),
        ("½ and 9.2", {"1/2", "and", "9.2"}),
        ("O'Hara", {"o'hara", "o", "hara"}),
        ("… — !", set()),
        ("x" * 200, {"x" * WORD_MOST}),
    ],
)
def test_a_text_has_the_words_between_its_spaces_and_the_runs_in_them(text: str, words: set[str]) -> None:
    assert words_in(text) == words


def test_what_is_asked_for_keeps_its_order_and_is_asked_for_once() -> None:
    assert asked_words("  Vale, (lantern) VALE n-10 ") == ["vale", "lantern", "n-10"]
    assert asked_words("—") == []


def test_titles_sellers_sums_and_notes_are_texts_each_with_its_place() -> None:
    found = texts(
        a_purchase(issue=an_issue(title="Amber"), seller=Sealed.of("Orrin Vale"), price=usd("120.50")),
        Note(words=Sealed.of("Kept flat.")),
    )
    assert found["Purchase, Series title"] == "Amber"
    assert found["Purchase, Seller"] == "Orrin Vale"
    assert found["Purchase, Price"] == "120.50 USD"
    assert found["Note, Words"] == "Kept flat."


def test_defects_and_techniques_are_found_by_what_they_are_called() -> None:
    words = all_words(moments(a_purchase(), an_examination(), an_intervention("cold-press")))
    assert {"cold", "press"} & set(words)


def test_digests_measures_dates_and_choices_are_no_words() -> None:
    words = all_words(moments(a_purchase(), Photograph(original="a" * 64, clean="b" * 64), an_examination()))
    assert not {"a" * 64, "b" * 64, "raw", "bought"} & set(words)
    assert list(words) == sorted(set(words))


def test_what_was_corrected_withdrawn_or_erased_is_found_no_more() -> None:
    bought = a_purchase(seller=Sealed.of("Orrin Vale"))
    mended = all_words(moments(bought, Correction(entry=1, changes={"seller": Sealed.of("Tamsin")})))
    assert "tamsin" in mended
    assert "orrin" not in mended
    note = Note(words=Sealed.of("flimsy"))
    assert "flimsy" not in all_words(moments(bought, note, Withdrawal(entry=2)))
    assert "orrin" not in all_words(moments(a_purchase(seller=Sealed.erased())))
    assert "orrin" not in all_words(moments(a_purchase(seller=Sealed.withheld())))


def test_the_pieces_of_a_text_come_to_the_whole_and_the_words_are_marked() -> None:
    text = "Bought of Ørrin, lot N-1034/7  (Orrin's)."
    found = pieces(text, lambda word: word in {"n-1034/7", "orrin"})
    assert "".join(piece for piece, _ in found) == text
    assert [piece for piece, marked in found if marked] == ["N-1034/7", "Orrin"]
    assert pieces("", lambda _: True) == []


@given(text=st.text(st.characters(codec="ascii")))
def test_a_plain_text_is_folded_as_it_is_beside_letters_with_accents(text: str) -> None:
    assert folded(f"{text} \u00e9") == f"{folded(text)} e".strip()

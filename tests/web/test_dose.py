"""The dose of heat on the page of a step and of a book: a band, what is not in it, and no word of years to live."""

from typing import Any

import pytest

from ledger.events._settings import Settings
from tests.builders import a_purchase, an_intervention
from tests.web.browser import Browser, text_of
from tests.web.stories import Shelf, page_of
from web.dose_words import days


def a_press(**settings: Any) -> Any:
    return an_intervention("hot-press-dry", settings=Settings(**settings))


def test_a_step_with_heat_says_its_band_and_its_limits(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), a_press(set_celsius="65", hold_minutes=10, cooling_minutes=0))
    said = text_of(signed_in.get(f"/ledger/{shelf.seqs(book)[-1]}"))
    assert "It aged the paper like about 1.6 days (0.014 to 8.2) at 20 °C and 50 % humidity." in said
    assert "The temperature is that of the dial" in said
    assert "An index to compare sessions by." in said


def test_what_cannot_be_told_is_said_to_be_missing(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), a_press(total_minutes=1440))
    said = text_of(signed_in.get(f"/ledger/{shelf.seqs(book)[-1]}"))
    assert "cannot be told: neither its temperature nor how long it was hot is known." in said


def test_a_step_without_heat_says_nothing_of_it(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), an_intervention("dry-cleaning"))
    assert "Ageing by heat" not in text_of(signed_in.get(f"/ledger/{shelf.seqs(book)[-1]}"))
    assert "Heat so far" not in page_of(signed_in, book).text


def test_a_book_says_the_sum_and_what_is_not_in_it(signed_in: Browser, shelf: Shelf) -> None:
    hot = a_press(measured_celsius="65", hold_minutes=10, cooling_minutes=0)
    said = page_of(signed_in, shelf.takes(a_purchase(), hot, hot, a_press(set_celsius="60"))).text
    assert "Heat so far about 3.3 days (0.029 to 16)" in said
    assert "In 3 sessions. One of them cannot be told." in said


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0, "0"),
        (0.004, "less than 0.01"),
        (0.0144, "0.014"),
        (1.633, "1.6"),
        (117.6, "120"),
        (6043.0, "6,000"),
        (1.6e10, "16,000,000,000"),
    ],
)
def test_days_are_said_to_two_figures(value: float, words: str) -> None:
    assert days(value) == words

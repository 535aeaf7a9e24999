"""The identification: what it changes, its line."""

from ledger.book import Status
from ledger.events.identification import Identification
from tests.builders import a_book, a_purchase, against, an_issue, at, broken_rules, chain, folded, on, shut


def an_identification(when: str | None = "2024-03-01", **issue: object) -> Identification:
    return Identification(on=on(when), issue=an_issue(**issue), how="price box and indicia")


def test_it_may_be_written_for_a_book_that_is_not_bought_yet() -> None:
    assert broken_rules(an_identification(), a_book(status=Status.NOT_YET)) == []
    assert against([], an_identification()) == ([], [])


def test_an_issue_that_stays_as_it_was_is_a_confirmation() -> None:
    assert against(chain(a_purchase()), an_identification()) == ([], [])


def test_the_whole_issue_is_replaced() -> None:
    better = an_identification(printing=2, start_year=1963)
    assert better.apply(a_book(), at()).issue == an_issue(printing=2, start_year=1963)


def test_the_last_in_the_order_of_happening_stands() -> None:
    book = folded(
        a_purchase(), an_identification("2024-05-01", printing=2), an_identification("2024-04-01", printing=3)
    )
    assert book.issue == an_issue(printing=2)


def test_its_line_tells_the_issue_and_how_it_was_told() -> None:
    line = shut(an_identification(printing=2, variant="price variant")).summary()
    assert line == "Identified as Captain Lantern 14 (1962), printing 2, price variant; told by price box and indicia"
    plain = an_identification(start_year=None).summary()
    assert plain == "Identified as Captain Lantern 14; told by price box and indicia"

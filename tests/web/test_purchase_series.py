"""A purchase of a series the collection has: what all copies agree on is taken over, and nothing typed is overwritten."""

from ledger.ports import Ledger
from ledger.when import When
from tests.builders import a_purchase, an_issue
from tests.web.browser import Browser, text_of
from tests.web.markup import read_page
from tests.web.test_purchase import at, bought, opened, sent
from tests.web.typed import written


def test_the_series_of_the_collection_can_be_chosen_while_typing(ledger: Ledger, signed_in: Browser) -> None:
    for title in ("The Deep Well", "Captain Lantern", "captain lantern"):
        written(ledger, a_purchase(issue=an_issue(title=title)))
    page = read_page(signed_in.get("/purchase").text)
    offered = [each.attrs["value"] for each in at(page, "issue.title-known").all("option")]
    assert at(page, "issue.title").attrs["list"] == "issue.title-known"
    assert offered == sorted(offered, key=str.casefold)
    assert {"The Deep Well", "Captain Lantern"} <= set(offered)


def test_what_all_copies_of_a_series_agree_on_is_taken_over_and_told(ledger: Ledger, signed_in: Browser) -> None:
    known = an_issue(title="Captain Lantern", number="7", publisher="Harbour Street Press", cover_date=When("1963-08"))
    written(ledger, a_purchase(issue=known))
    sent(signed_in, issue__title="captain lantern")
    issue = bought(ledger).issue
    assert (issue.title, issue.publisher, issue.start_year) == ("Captain Lantern", "Harbour Street Press", 1962)
    assert issue.cover_date == When("1963-08")
    told = text_of(signed_in.get("/keys"))
    assert "Taken over from your other copies: Harbour Street Press, 1962, August 1963." in told
    sent(signed_in, issue__number="8")
    assert bought(ledger).issue.cover_date is None, "another number has another date"


def test_what_was_typed_is_never_overwritten_by_what_other_copies_say(ledger: Ledger, signed_in: Browser) -> None:
    written(ledger, a_purchase(issue=an_issue(number="7", publisher="Harbour Street Press")))
    sent(signed_in, issue__publisher="Quay Press")
    assert bought(ledger).issue.publisher == "Quay Press"
    sent(signed_in, issue__start_year="1991")
    assert bought(ledger).issue.publisher is None, "a series of the same name that began in another year is another"


def test_nothing_is_taken_over_when_that_is_not_ticked(ledger: Ledger, signed_in: Browser) -> None:
    written(ledger, a_purchase(issue=an_issue(publisher="Harbour Street Press")))
    form = opened(signed_in)
    assert form.fields.pop("take_over") == ["yes"]
    sent(signed_in, form)
    assert bought(ledger).issue.publisher is None


def test_copies_that_disagree_leave_the_question_open(ledger: Ledger, signed_in: Browser) -> None:
    for publisher in ("Harbour Street Press", "Quay Press"):
        written(ledger, a_purchase(issue=an_issue(publisher=publisher)))
    sent(signed_in)
    issue = bought(ledger).issue
    assert (issue.publisher, issue.start_year) == (None, 1962)


def test_a_form_that_came_back_says_what_the_collection_has(ledger: Ledger, signed_in: Browser) -> None:
    written(ledger, a_purchase(issue=an_issue(number="7")))
    page = read_page(sent(signed_in, on="soon").text)
    assert at(page, "issue.title-reading").text == "Captain Lantern (1962). You own 7."
    assert at(page, "issue.number-reading").text == "This would be your second copy of 7."

"""What narrows the list of the collection, the orders it comes in, and its pages."""

from collections.abc import Sequence
from urllib.parse import parse_qs, urlsplit

import pytest

from ledger.bootstrap import OWNER
from ledger.events._parts import Holding
from ledger.ports import Ledger
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, an_issue
from tests.web.browser import Browser, forms_of, text_of
from tests.web.shelves import a_shelf, boxed, buy, lines, page, titles


@pytest.fixture
def shelf(ledger: Ledger) -> dict[str, str]:
    return a_shelf(ledger)


def test_what_has_left_is_shown_only_to_who_asks(signed_in: Browser, shelf: dict[str, str]) -> None:
    assert titles(page(signed_in)) == ["Alpha", "Beta", "Delta", "Omega <&>", "Zeta"]
    assert "Gone" in titles(page(signed_in, "/collection?left=yes"))
    said = page(signed_in).one("p", role="status").text
    assert said == "5 books in the collection. One more has left it, or is another book here."


@pytest.mark.parametrize(
    ("query", "found", "said"),
    [
        ("q=beta", ["Beta"], "One book found."),
        ("q=gorse hill", ["Alpha"], "One book found."),
        ("place=Box 1", ["Alpha"], "One book found."),
        ("place=Box 1&place=Box 2", ["Alpha", "Beta"], "2 books found."),
        ("unnamed=yes", ["Delta", "Zeta"], "2 books found."),
        ("holding=slabbed", ["Alpha"], "One book found."),
        ("heading=restoration", ["Beta"], "One book found."),
        ("heading=none", ["Alpha", "Delta", "Omega <&>", "Zeta"], "4 books found."),
        ("status=in other hands", ["Omega <&>"], "One book found."),
        ("bench=yes", ["Delta"], "One book found."),
        ("low=9.0", ["Alpha"], "One book found."),
        ("low=9.0&high=9.0&heading=none", ["Alpha"], "One book found."),
        ("high=8.5", [], "No book found."),
        ("heading=restoration&holding=slabbed", [], "No book found."),
    ],
)
def test_the_list_is_narrowed_by_what_is_asked(
    signed_in: Browser, shelf: dict[str, str], query: str, found: Sequence[str], said: str
) -> None:
    shown = page(signed_in, f"/collection?{query}")
    assert titles(shown) == list(found)
    assert shown.one("p", role="status").text == said
    (block,) = (each for each in shown.all("div") if "data-said" in each.attrs)
    assert block.attrs["data-said"] == said


def test_what_was_asked_stands_in_the_form_again(signed_in: Browser, shelf: dict[str, str]) -> None:
    query = "q=a&place=Box 1&holding=slabbed&heading=none&low=4.0&high=9.8&left=yes&sort=grade&down=yes"
    form = next(form for form in forms_of(signed_in.get(f"/collection?{query}")) if form.action == "/collection")
    assert form.method == "get"
    kept = {name: value for name, value in form.fields.items() if value}
    assert kept == {
        "q": "a",
        "place": ["Box 1"],
        "holding": ["slabbed"],
        "heading": ["none"],
        "low": "4.0",
        "high": "9.8",
        "left": ["yes"],
        "sort": "grade",
        "down": "yes",
    }


def test_every_answer_says_how_many_books_of_the_whole_collection_it_has(
    signed_in: Browser, shelf: dict[str, str]
) -> None:
    def counts(path: str) -> dict[str, str]:
        ticks = page(signed_in, path).one("div", class_="filters").all("label", class_="tick")
        return {tick.all("span")[0].text: tick.all("span")[1].text for tick in ticks}

    expected = {
        "not known": "2",
        "Box 1": "1",
        "Box 2": "1",
        "raw": "4",
        "in a holder": "1",
        "none here": "4",
        "restoration": "1",
        "here": "4",
        "in other hands": "1",
        "on the bench": "1",
        "show also what has left": "1",
    }
    assert counts("/collection") == expected
    assert counts("/collection?q=beta&holding=slabbed") == expected


def test_a_question_with_one_answer_is_not_asked(signed_in: Browser, ledger: Ledger) -> None:
    buy(ledger, title="Alpha")
    legends = [each.text for each in page(signed_in).all("legend")]
    assert legends == ["Stated grade"]


def test_of_many_places_a_few_can_be_ticked_and_one_of_the_others_chosen(signed_in: Browser, ledger: Ledger) -> None:
    for number in range(12):
        buy(ledger, boxed(f"Box {number:02}"), title=f"Book {number:02}")
    form = next(each for each in forms_of(signed_in.get("/collection")) if each.action == "/collection")
    assert form.fields["place"] == ""
    shown = page(signed_in, "/collection?place=Box 11&place=Box 00")
    assert titles(shown) == ["Book 00", "Book 11"]
    ticks = shown.one("div", class_="filters").all("input", name="place")
    assert [tick.attrs["value"] for tick in ticks][:2] == ["Box 00", "Box 11"]
    assert [tick.attrs["value"] for tick in ticks if "checked" in tick.attrs] == ["Box 00", "Box 11"]
    offered = shown.one("select", id="further").all("option")
    assert [each.attrs["value"] for each in offered] == ["", *(f"Box {number:02}" for number in range(7, 11))]


@pytest.mark.parametrize(
    ("sort", "found"),
    [
        ("", ["Alpha", "Beta", "Delta", "Omega <&>", "Zeta"]),
        ("down=yes", ["Zeta", "Omega <&>", "Delta", "Beta", "Alpha"]),
        ("sort=number", ["Zeta", "Beta", "Alpha", "Omega <&>", "Delta"]),
        ("sort=grade&down=yes", ["Alpha", "Zeta", "Omega <&>", "Delta", "Beta"]),
        ("sort=recent&down=yes", ["Zeta", "Omega <&>", "Delta", "Beta", "Alpha"]),
    ],
)
def test_the_list_has_four_orders(signed_in: Browser, shelf: dict[str, str], sort: str, found: list[str]) -> None:
    assert titles(page(signed_in, f"/collection?{sort}")) == found


def test_a_head_puts_the_list_in_its_order_and_then_the_other_way_round(
    signed_in: Browser, shelf: dict[str, str]
) -> None:
    heads = {
        head.one("a").text: head for head in page(signed_in, "/collection?q=a").one("thead").all("th") if head.all("a")
    }
    assert [heads[name].attrs.get("aria-sort") for name in ("Title", "Number", "Stated grade", "Written")] == [
        *("ascending", None, None, None)
    ]
    leads = {name: parse_qs(urlsplit(head.one("a").attrs["href"]).query) for name, head in heads.items()}
    assert leads["Title"] == {"q": ["a"], "down": ["yes"]}
    assert leads["Number"] == {"q": ["a"], "sort": ["number"]}
    assert leads["Stated grade"] == {"q": ["a"], "sort": ["grade"], "down": ["yes"]}
    assert leads["Written"] == {"q": ["a"], "sort": ["recent"], "down": ["yes"]}
    other = page(signed_in, heads["Stated grade"].one("a").attrs["href"])
    sorted_now = [head.attrs.get("aria-sort") for head in other.one("thead").all("th")]
    assert [each for each in sorted_now if each] == ["descending"]


def test_a_long_list_goes_on_page_by_page_and_back_to_its_start(signed_in: Browser, ledger: Ledger) -> None:
    drafts = [Draft(event=a_purchase(issue=an_issue(number=str(number))), new_book=True) for number in range(1, 131)]
    record(ledger, OWNER, drafts)
    seen: list[str] = []
    where, said = "/collection?q=lantern", []
    while True:
        shown = page(signed_in, where)
        seen += [line.one("span", class_="no").text for line in lines(shown)]
        said.append(shown.one("p", role="status").text)
        after = shown.all("a", rel="next")
        if not after:
            break
        where = after[0].attrs["href"]
    assert seen == [str(number) for number in range(1, 131)]
    assert said == ["The first 60 of more books.", "60 further books.", "10 further books."]
    start = next(each for each in shown.one("nav", class_="pager").all("a") if "rel" not in each.attrs)
    assert start.attrs["href"] == "/collection?q=lantern"
    assert page(signed_in).one("p", role="status").text == "60 of 130 books."


def test_a_cursor_that_was_not_given_out_says_to_begin_again(signed_in: Browser, shelf: dict[str, str]) -> None:
    answer = signed_in.get("/collection?after=nonsense")
    assert answer.status_code == 422
    assert "Begin again without it." in text_of(answer)


@pytest.mark.parametrize("holding", Holding)
def test_every_holding_has_a_word(signed_in: Browser, ledger: Ledger, holding: Holding) -> None:
    for each in {Holding.RAW, holding}:
        record(ledger, OWNER, [Draft(event=a_purchase(holding=each, issue=an_issue(title=each.name)), new_book=True)])
    assert titles(page(signed_in, f"/collection?holding={holding.value}")) == [holding.name]


def test_what_cannot_be_read_asks_for_nothing(signed_in: Browser, shelf: dict[str, str]) -> None:
    assert titles(page(signed_in, "/collection?low=9.7&sort=price&bench=no&left=no&more=1")) == titles(page(signed_in))

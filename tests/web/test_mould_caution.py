"""Where mould was seen the caution for it is in sight, and not once it is gone."""

from ledger.events._parts import Face
from tests.builders import a_defect, a_purchase, an_examination
from tests.web.browser import Browser, text_of
from tests.web.markup import read_page
from tests.web.stories import Shelf

MOULD = {"face": Face.INSIDE, "size_mm": "7"}
SAID = "Put the book in a closed bag away from the others at once, wear a fitted mask"


def told(browser: Browser, path: str) -> str:
    answer = browser.get(path)
    assert answer.status_code == 200
    return text_of(answer)


def test_it_stands_with_the_condition_while_there_is_mould(signed_in: Browser, shelf: Shelf) -> None:
    first = an_examination("2024-03-01", defects=(a_defect("d1", "mould", **MOULD),))
    second = an_examination("2024-04-01", defects=(a_defect("d1", "mould", gone=True, **MOULD),))
    book = shelf.takes(a_purchase(), first, second)
    with_mould = told(signed_in, f"/books/{book}/condition?look={first_look(signed_in, book)}")
    assert SAID in with_mould
    assert "ask a paper conservator" in with_mould
    assert SAID not in told(signed_in, f"/books/{book}/condition")


def first_look(browser: Browser, book: str) -> str:
    links = read_page(browser.get(f"/books/{book}/condition").text).all("a")
    return min(
        (href.partition("look=")[2] for each in links if "look=" in (href := each.attrs.get("href") or "")), key=int
    )


def test_a_look_at_such_a_book_opens_it_and_any_other_has_it_at_hand(signed_in: Browser, shelf: Shelf) -> None:
    mouldy = shelf.takes(a_purchase(), an_examination("2024-03-01", defects=(a_defect("d1", "mould", **MOULD),)))
    clean = shelf.takes(a_purchase())
    opened = []
    for book in (mouldy, clean):
        fold = read_page(signed_in.get(f"/books/{book}/look").text).one("div", class_="cautions").one("details")
        assert SAID in fold.text
        opened.append("open" in fold.attrs)
    assert opened == [True, False]

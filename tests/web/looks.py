"""What the tests of a guided look share: a book with defects on several faces, and turning it without a script."""

from typing import Any

from httpx2 import Response

from ledger.events._parts import Answer, Defect, Face, Region
from ledger.events.examination import Examination
from ledger.ports import Ledger
from tests.builders import a_defect, a_purchase, an_examination
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf

TEAR = {"type": "tear", "breaks_colour": "yes", "size_mm": "4.5"}
BEND = a_defect("d1", "bend", face=Face.FRONT, size_mm="12", region=Region(x_mm="20", y_mm="30"))
TICK = a_defect(
    "d2", "spine-tick", face=Face.SPINE, breaks_colour=Answer.YES, size_mm="3", count=4,
    region=Region(x_mm="1", y_mm="100"),
)  # fmt: skip
DIRT = a_defect("d3", "surface-dirt", face=Face.FRONT, size_mm=None, share_percent=10)
EASED = a_defect("d4", "bend", face=Face.FRONT, size_mm=None, gone=True)
LOOSE = a_defect("d5", "centre-leaf-off", face=Face.INSIDE, breaks_colour=Answer.UNSURE, size_mm=None)


def a_seen_book(shelf: Shelf, *more: Any, holder: bool = False) -> str:
    """A raw book of 180 by 260 mm with a bend and dirt on the front, ticks on the spine, and a bend that has gone."""
    first = an_examination(
        "2024-03-01", width_mm="180", height_mm="260", defects=(BEND, TICK, DIRT, a_defect("d4", "bend", size_mm="6"))
    )
    second = an_examination("2024-04-01", defects=(EASED,))
    assert not holder
    return shelf.takes(a_purchase(), first, second, *more)


def path(book: str, step: str = "") -> str:
    return f"/books/{book}/look" + (f"?step={step}" if step else "")


def page_at(browser: Browser, book: str, step: str = "") -> Element:
    answer = browser.get(path(book, step))
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


def send(browser: Browser, book: str, step: str, do: str, said: dict[str, Any] | None = None) -> Response:
    """The form of a step as the page has it, with what was said, sent by that button."""
    form = form_to(browser.get(path(book, step)), path(book))
    return browser.post(path(book, step), {**form.fields, **(said or {}), "do": do})


def turn(browser: Browser, book: str, step: str, do: str = "next", said: dict[str, Any] | None = None) -> str:
    """The step it leads on to."""
    answer = send(browser, book, step, do, said)
    assert answer.status_code == 303, text_of(answer)
    location = str(answer.headers["location"])
    assert location.startswith(path(book)), location
    return location.partition("step=")[2].partition("#")[0]


def skip(browser: Browser, book: str, *steps: str) -> None:
    for step in steps:
        turn(browser, book, step, "skip")


def write(browser: Browser, book: str, said: dict[str, Any] | None = None) -> Response:
    return send(browser, book, "whole", "write", said)


def written(ledger: Ledger, book: str) -> Examination:
    """The last entry of the book, which is a look."""
    with ledger.log.read() as reader:
        event = reader.of_book(book)[-1].event
    assert isinstance(event, Examination)
    return event


def defect(look: Examination, name: str) -> Defect:
    return next(each for each in look.defects if each.id == name)


def row(number: int, **said: str) -> dict[str, str]:
    """What is typed into one row of new defects."""
    return {f"defects.{number}.{name.replace('__', '.')}": value for name, value in said.items()}


def states(page: Element) -> dict[str, str]:
    steps = page.one("nav", class_="steps").all("li")
    return {each.one("button").text.lower(): each.attrs.get("class", "") for each in steps}

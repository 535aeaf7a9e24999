"""What pages write and offer of today is the day where the program runs, whatever day it is in UTC."""

import pytest

from ledger.events.examination import Examination
from ledger.events.outlook import Outlook
from ledger.events.placement import Placement, Spot
from ledger.ports import Ledger
from ledger.usecases.look import look_at
from tests.builders import a_defect, a_purchase, an_examination
from tests.fakes import EastClock, FakeClock
from tests.usecases.telling import OWNER
from tests.web.browser import Browser
from tests.web.markup import read_page
from tests.web.stories import Shelf

NEW_YEAR = "1 January 2026"


@pytest.fixture
def clock() -> FakeClock:
    return EastClock()


@pytest.mark.parametrize(
    "said", [{"do": "computed"}, {"said": "60 % 7.5, 40 % 8.0", "stage": "after work", "do": "write"}]
)
def test_an_outlook_is_stated_on_that_day(
    signed_in: Browser, shelf: Shelf, ledger: Ledger, said: dict[str, str]
) -> None:
    book = shelf.takes(a_purchase(), an_examination(defects=(a_defect("d1", size_mm="10"),)))
    assert signed_in.post(f"/books/{book}/outlook", said).status_code == 303
    (found,) = (each.event for each in look_at(ledger, OWNER, book).moments if isinstance(each.event, Outlook))
    assert str(found.on) == "2026-01-01"


def test_a_look_of_today_is_found_by_today_in_the_ledger(signed_in: Browser, shelf: Shelf) -> None:
    shelf.takes(a_purchase("2024-02-01"), an_examination("2026-01-01"))
    happened = read_page(signed_in.get("/ledger?by=happened&first=today&last=today").text)
    assert Examination.title in happened.one("table", class_="daybook").text
    recorded = read_page(signed_in.get("/ledger?first=today&last=today").text)
    assert "31 December 2025" in recorded.text


def test_a_plan_of_rotation_is_offered_from_that_day(signed_in: Browser, shelf: Shelf) -> None:
    shelf.takes(a_purchase(), Placement(spot=Spot.WALL, room="r1", wall="w1", x_cm="60", y_cm="150"))
    shown = read_page(signed_in.get("/rotation/new").text)
    assert [each.attrs["value"] for each in shown.all("input", name="starts")] == [NEW_YEAR]


def test_the_list_of_wants_is_named_by_that_day(signed_in: Browser) -> None:
    assert "wants-2026-01-01.html" in signed_in.get("/wants/list.html").headers["content-disposition"]

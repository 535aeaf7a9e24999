"""The page of presses and tools: added, measured row by row, changed, retired, taken away; a phone only looks."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from httpx2 import Response

from ledger.bench import Step
from ledger.ports import Ledger
from ledger.tools import Tool, ToolSaid
from ledger.usecases.bench import put_in
from ledger.usecases.phones import join
from ledger.usecases.tools import add_tool, look_at_tools
from tests.builders import a_purchase
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf
from web.posted import Posted
from web.tool_lines import Sent

PAGE, NEW = "/bench/tools", "/bench/tools/new"
AT = "calibration.points"
PRESS = {"name": "Large press", "kind": "hot press", "capacity": "4", "note": "Slow to warm"}
MEASURED = {
    "calibration.on": "1 January 2026", "calibration.measured_with": "thermocouple",
    f"{AT}.0.set_celsius": "60", f"{AT}.0.measured_celsius": "57,5",
    f"{AT}.2.set_celsius": "40 °C", f"{AT}.2.measured_celsius": "38.5",
}  # fmt: skip


def add(browser: Browser, **changes: str) -> Response:
    fields = form_to(browser.get(NEW), NEW).fields
    return browser.post(NEW, {**fields, **PRESS, **MEASURED, **changes})


def only(ledger: Ledger) -> Tool:
    (tool,) = look_at_tools(ledger, OWNER)
    return tool


def test_where_there_is_none_the_page_starts_one(signed_in: Browser) -> None:
    page = read_page(signed_in.get(PAGE).text)
    assert page.one("main").all("a", href=NEW, class_="next")


def test_a_press_is_added_with_its_calibration_row_by_row(signed_in: Browser, ledger: Ledger) -> None:
    said = text_of(signed_in.follow(add(signed_in)))
    assert "Large press is on the bench." in said
    assert "4 of 4 free" in said
    assert "Measured on 1 January 2026 with thermocouple." in said
    assert "Slow to warm" in said
    tool = only(ledger)
    assert tool.calibration is not None
    assert tool.calibration.on == date(2026, 1, 1)
    assert [(each.set_celsius, each.measured_celsius) for each in tool.calibration.points] == [
        (Decimal(40), Decimal("38.5")), (Decimal(60), Decimal("57.5")),
    ]  # fmt: skip
    cells = [each.text for each in read_page(signed_in.get(PAGE).text).one("table").all("td")]
    assert cells == ["38.5", "\N{MINUS SIGN}1.5", "57.5", "\N{MINUS SIGN}2.5"]


def test_what_is_wrong_stands_at_its_row_though_rows_before_it_are_empty(signed_in: Browser, ledger: Ledger) -> None:
    answer = add(signed_in, **{f"{AT}.2.measured_celsius": "warm", "capacity": "a few"})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert page.all("p", id=f"{AT}.2.measured_celsius-fault")
    assert page.all("p", id="capacity-fault")
    assert form_to(answer, NEW).fields[f"{AT}.2.measured_celsius"] == "warm"
    assert look_at_tools(ledger, OWNER) == ()


@pytest.mark.parametrize("day", ["3/4/2025", "yesteryear", "1999"])
def test_a_day_that_cannot_be_told_is_asked_for_beside_all_else_that_is_wrong(signed_in: Browser, day: str) -> None:
    answer = add(signed_in, **{"calibration.on": day, "name": ""})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert page.all("p", id="calibration.on-fault")
    assert page.all("p", id="name-fault")


def test_more_rows_are_had_without_a_script_and_nothing_typed_is_lost(signed_in: Browser, ledger: Ledger) -> None:
    before = form_to(signed_in.get(NEW), NEW).fields
    answer = signed_in.post(NEW, {**before, **PRESS, **MEASURED, "do": "rows"})
    assert answer.status_code == 200
    fields = form_to(answer, NEW).fields
    rows = [name for name in fields if name.startswith(AT)]
    assert len(rows) == len([name for name in before if name.startswith(AT)]) + 4
    assert {name: fields[name] for name in MEASURED} == MEASURED
    assert look_at_tools(ledger, OWNER) == ()


def test_a_name_that_is_taken_comes_back_with_the_mend(signed_in: Browser) -> None:
    add(signed_in)
    answer = add(signed_in, name="large PRESS")
    assert answer.status_code == 409
    assert "Give this one another name." in text_of(answer)


def test_it_is_changed_and_its_form_holds_what_it_was(signed_in: Browser, ledger: Ledger) -> None:
    add(signed_in)
    path = f"{PAGE}/{only(ledger).id}"
    fields = form_to(signed_in.get(path), path).fields
    assert (fields["name"], fields["capacity"], fields["calibration.on"]) == ("Large press", "4", "1 January 2026")
    assert (fields[f"{AT}.0.set_celsius"], fields[f"{AT}.1.measured_celsius"]) == ("40", "57.5")
    same = only(ledger)
    signed_in.post(path, fields)
    assert only(ledger) == same
    emptied = {name: "" for name in fields if name.startswith("calibration")}
    said = text_of(signed_in.follow(signed_in.post(path, {**fields, **emptied, "capacity": ""})))
    assert "Not measured" in said
    assert (only(ledger).capacity, only(ledger).calibration) == (None, None)


def test_it_is_retired_taken_up_again_and_taken_away(signed_in: Browser, ledger: Ledger) -> None:
    add(signed_in)
    path = f"{PAGE}/{only(ledger).id}"
    assert "takes nothing new" in text_of(signed_in.follow(signed_in.post(f"{path}/retire")))
    assert only(ledger).retired
    assert "Large press takes books again." in text_of(signed_in.follow(signed_in.post(f"{path}/back")))
    assert not only(ledger).retired
    assert "Large press is no longer kept." in text_of(signed_in.follow(signed_in.post(f"{path}/off")))
    assert look_at_tools(ledger, OWNER) == ()
    assert signed_in.get(path).status_code == 404


def test_one_that_is_at_work_is_not_taken_away(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    add(signed_in)
    tool = only(ledger)
    put_in(ledger, OWNER, [shelf.takes(a_purchase())], Step(values={"technique": "cold-press"}), tool=tool.id)
    answer = signed_in.post(f"{PAGE}/{tool.id}/off")
    assert answer.status_code == 409
    assert "Write down what came of it first" in text_of(answer)
    assert "3 of 4 free" in text_of(signed_in.get(PAGE))


def test_a_phone_looks_and_is_led_to_nothing_that_changes_one(home: Home, visitor: Browser, ledger: Ledger) -> None:
    add_tool(ledger, OWNER, ToolSaid(name="Large press", kind="hot press", capacity="4"))
    phone = home.browser()
    phone.client.cookies.set(phone.cookie, join(home.accounts, "Grey phone"), domain="localhost.local")
    page = read_page(phone.get(PAGE).text).one("main")
    assert "4 of 4 free" in page.text
    assert page.all("form") == []
    assert [each.attrs["href"] for each in page.all("a")] == ["/bench"]
    for path in (NEW, f"{PAGE}/{only(ledger).id}", f"{PAGE}/{only(ledger).id}/retire"):
        assert phone.post(path, {"name": "x"}).status_code == 403
    assert only(ledger).name == "Large press"


def test_what_was_typed_waits_for_whoever_has_to_sign_in_first(home: Home, visitor: Browser, ledger: Ledger) -> None:
    browser = home.browser().sign_in()
    fields = form_to(browser.get(NEW), NEW).fields
    browser.forget()
    asked = browser.post(NEW, {**fields, **PRESS, **MEASURED})
    sign_in = browser.follow(asked)
    back = browser.post("/sign-in", {**form_to(sign_in, "/sign-in").fields, "password": PASSWORD})
    held = form_to(browser.follow(back), NEW).fields
    assert {name: held[name] for name in (*PRESS, *MEASURED)} == {**PRESS, **MEASURED}
    browser.post(NEW, held)
    assert only(ledger).name == "Large press"


def test_rows_are_read_in_their_order_and_no_more_than_there_can_be() -> None:
    fields: Any = [(f"{AT}.{number}.set_celsius", str(number)) for number in (2, 0, 900)]
    sent = Sent.posted(Posted(fields=tuple(fields)))
    assert [each.put for each in sent.rows[:3]] == ["0", "", "2"]
    assert len(sent.rows) == 30

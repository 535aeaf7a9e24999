"""The board: loads by their press, hot and set hours apart, what is due, what waits for a decision, and one tap onwards."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from ledger.bench import Load, Step
from ledger.events._settings import Settings
from ledger.events.choice import Choice, Next
from ledger.ports import Ledger
from ledger.tools import Tool, ToolSaid
from ledger.usecases import bench as bench_work
from ledger.usecases.bench import keep_recipe, look_at_bench, put_in
from ledger.usecases.phones import join
from ledger.usecases.tools import add_tool, retire_tool
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, worked_on
from tests.fakes import FakeClock
from tests.web.browser import Browser, Home, form_to, text_of
from tests.web.markup import read_page
from tests.web.presses import COLD, HOT, a_press, load_in
from tests.web.stories import OWNER, Shelf
from web.bench_lines import line_of, scale_of

NOW = datetime(2026, 1, 2, 12, tzinfo=UTC)


@pytest.fixture
def press(ledger: Ledger) -> Tool:
    """A measured one for two books."""
    return a_press(ledger)


def words(browser: Browser) -> str:
    return text_of(browser.get("/bench"))


def test_loads_stand_under_their_press_with_the_room_that_is_left(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool
) -> None:
    add_tool(ledger, OWNER, ToolSaid(name="Book press", kind="cold press", capacity="6"))
    boards = add_tool(ledger, OWNER, ToolSaid(name="Boards", kind="boards and weight"))
    old = add_tool(ledger, OWNER, ToolSaid(name="Old press", kind="cold press", capacity="1"))
    retire_tool(ledger, OWNER, old.id, retired=True)
    load_in(ledger, shelf, press)
    load_in(ledger, shelf, tool="two bricks")
    heads = [each.text for each in read_page(signed_in.get("/bench").text).all("h3")][:4]
    assert heads == [
        "Large press 1 of 2 free",
        "In no press or tool of the list",
        f"{boards.name} empty",
        "Book press 6 of 6 free",
    ]
    load_in(ledger, shelf, press)
    assert "Large press No room: all 2 taken" in words(signed_in)


def test_hours_in_the_press_and_hours_in_the_heat_are_told_apart(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool
) -> None:
    load_in(ledger, shelf, press)
    assert "Large press: 60 °C, 24 hours in the press, 2 hours hot." in words(signed_in)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"settings.total_minutes": ""}, "60 °C, 2 hours hot; when it comes out is left open."),
        ({"settings.hold_minutes": ""}, "60 °C, 24 hours in all. How long it is hot is left open."),
        ({"technique": "cold-press", "settings.set_celsius": "", "settings.hold_minutes": ""}, "24 hours in all."),
        ({"settings.total_minutes": "", "settings.hold_minutes": ""}, "60 °C. How long it is hot is left open."),
        ({"technique": "rest-under-weight", "settings.set_celsius": "", "settings.hold_minutes": "",
          "settings.total_minutes": ""}, ""),
    ],
)  # fmt: skip
def test_what_is_left_open_of_times_is_said_so(changes: dict[str, str], said: str) -> None:
    assert line(changes, 0).settings == said


def line(changes: dict[str, str], minutes: int, *, stopped: bool = False) -> Any:
    """A load as the board has it so many minutes after it went in."""
    at = NOW + timedelta(minutes=minutes)
    values = {name: value for name, value in {**HOT, **changes}.items() if value}
    load = Load(id="x", books=("b",), step=Step(values=values), started=NOW, stopped=at if stopped else None)
    return line_of(load, bench_work.Bench(loads=(load,), recipes=()), {}, scale_of([load], at), at)


@pytest.mark.parametrize(
    ("minutes", "changes", "said"),
    [
        (0, {}, "By the plan hot until"),
        (119, {}, "then it cools until"),
        (120, {}, "Cools until"),
        (719, {}, "by the plan the heat has been off since"),
        (720, {}, "By the plan it has cooled since"),
        (119, {"settings.cooling_minutes": ""}, "By the plan hot until"),
        (121, {"settings.cooling_minutes": ""}, "how long it cools is left open"),
        (121, {"settings.hold_minutes": ""}, ""),
    ],
)
def test_where_in_its_plan_a_load_is_follows_from_hold_and_cooling(
    minutes: int, changes: dict[str, str], said: str
) -> None:
    phase = line(changes, minutes).phase
    assert said in phase
    assert bool(said) == bool(phase)


def test_a_load_that_has_come_out_is_in_no_part_of_its_plan() -> None:
    assert line({}, 60, stopped=True).phase == ""


def test_the_heat_is_drawn_as_far_as_it_reaches_and_no_further_than_the_load_was_in() -> None:
    whole = line({}, 1440)
    # 2 of 24 hours; the scale has 4 per cent of margin behind.
    assert whole.bar.hot == pytest.approx((whole.bar.planned - whole.bar.left) / 12)
    cut = line({}, 60, stopped=True)
    assert cut.bar.hot == pytest.approx(cut.bar.width)
    assert line({"settings.hold_minutes": ""}, 60).bar.hot == 0


def test_what_is_over_and_a_look_after_the_rest_are_due(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool, clock: FakeClock
) -> None:
    load = load_in(ledger, shelf, press)
    book = shelf.takes(a_purchase("2025-11-01"), an_examination("2025-11-05", defects=(a_defect(),)))
    shelf.then(book, an_intervention("cold-press", "2025-12-30", worked_defects=worked_on("d1")))
    assert "Due now" not in words(signed_in)
    clock.time = load.started + timedelta(days=8)
    page = read_page(signed_in.get("/bench").text)
    due = page.one("section", class_="due").all("a")
    assert [each.attrs["href"] for each in due] == [f"#load-{load.id}", f"#decide-{book}"]
    assert "Large press: Hot press, dry. Was to come out" in due[0].text
    assert due[1].text.endswith("look again after the rest, since 6 January 2026.")
    for each in due:
        assert page.all(id=each.attrs["href"][1:])
    look = page.one("li", id=f"decide-{book}").all("a", href=f"/entry/new?kind=examination&book={book}")
    assert [each.text for each in look] == ["Look again for Captain Lantern 14"]


def test_the_heat_so_far_is_told_of_each_book(signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool) -> None:
    heat = Settings(measured_celsius="60", hold_minutes=10, cooling_minutes=30)
    warm = shelf.takes(a_purchase("2025-11-01"), an_intervention("hot-press-dry", "2025-12-30", settings=heat))
    put_in(ledger, OWNER, [warm, shelf.takes(a_purchase())], Step(values=HOT), tool=press.id)
    untold = shelf.takes(a_purchase("2025-11-01"), an_intervention("hot-press-dry", "2025-12-30"))
    page = read_page(signed_in.get("/bench").text)
    first, second = (each.text for each in page.one("ul", class_="in-it").all("li"))
    assert "Heat so far: about" in first
    assert "Heat so far: none here." in second
    assert "not known; it was heated" in page.one("li", id=f"decide-{untold}").text


@pytest.mark.parametrize(("name", "value"), [("Go on", "go on"), ("Stop", "stop"), ("Leave it alone", "leave alone")])
def test_a_choice_is_written_from_the_board_with_its_why(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, name: str, value: str
) -> None:
    book = shelf.takes(a_purchase("2025-11-01"), an_intervention("cold-press", "2025-12-30"))
    board = signed_in.get("/bench")
    assert "Its last step is over: Cold press, 30 December 2025." in text_of(board)
    assert any(each.text.startswith(name) for each in read_page(board.text).all("button", value=value))
    form = form_to(board, "/bench/choice")
    answer = signed_in.post("/bench/choice", {**form.fields, "next": value, "why": " flat enough "})
    again = signed_in.post("/bench/choice", {**form.fields, "next": value, "why": " flat enough "})
    assert "Chose to" in text_of(signed_in.follow(answer))
    assert again.headers["location"] == answer.headers["location"]
    with ledger.log.read() as reader:
        entries = reader.of_book(book)
    (event,) = [each.event for each in entries if isinstance(each.event, Choice)]
    assert (event.next, event.why.value, str(event.on)) == (Next(value), "flat enough", "2026-01-02")
    assert f"decide-{book}" not in signed_in.get("/bench").text


def test_enter_alone_chooses_nothing_and_what_was_typed_stays(signed_in: Browser, shelf: Shelf, ledger: Ledger) -> None:
    book = shelf.takes(a_purchase("2025-11-01"), an_intervention("cold-press", "2025-12-30"))
    form = form_to(signed_in.get("/bench"), "/bench/choice")
    answer = signed_in.post("/bench/choice", {**form.fields, "next": "", "why": "still wavy"})
    assert answer.status_code == 422
    assert "Choose one of the three" in text_of(answer)
    assert form_to(answer, "/bench/choice").fields["why"] == "still wavy"
    assert len(shelf.seqs(book)) == 2


def test_a_choice_of_a_book_that_has_left_is_refused_on_the_board(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase("2024-01-01", expects_arrival=True))
    answer = signed_in.post("/bench/choice", {"book": "nobody", "next": "stop", "why": ""})
    assert answer.status_code == 404
    assert signed_in.post("/bench/choice", {"book": book, "next": "stop", "why": "x" * 9000}).status_code == 422


def test_a_phone_chooses_and_goes_on_by_one_tap(home: Home, visitor: Browser, ledger: Ledger, shelf: Shelf) -> None:
    phone = home.browser()
    phone.client.cookies.set(phone.cookie, join(home.accounts, "Grey phone"), domain="localhost.local")
    recipe = keep_recipe(ledger, OWNER, "Warm, cold", [Step(values=HOT), Step(values=COLD)])
    load = put_in(ledger, OWNER, [shelf.takes(a_purchase())], Step(values=HOT), by=(recipe.id, 0))
    answer = phone.post(f"/bench/{load.id}/next")
    assert "One book went on: Cold press, 12 hours in all." in text_of(phone.follow(answer))
    shelf.takes(a_purchase("2025-11-01"), an_intervention("cold-press", "2025-12-30"))
    form = form_to(phone.get("/bench"), "/bench/choice")
    assert phone.post("/bench/choice", {**form.fields, "next": "stop"}).status_code == 303


def test_one_tap_takes_a_load_into_the_next_step_of_its_recipe(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    cold = add_tool(ledger, OWNER, ToolSaid(name="Book press", kind="cold press", capacity="1"))
    recipe = keep_recipe(ledger, OWNER, "Warm, cold", [Step(values=HOT), Step(values=COLD)])
    load = put_in(ledger, OWNER, [shelf.takes(a_purchase())], Step(values=HOT), by=(recipe.id, 0))
    path = f"/bench/{load.id}/next"
    assert "Out, and on: Cold press" in words(signed_in)
    said = text_of(signed_in.follow(signed_in.post(path)))
    assert "What came before it is still to be written down." in said
    assert path not in signed_in.get("/bench").text
    before, after = look_at_bench(ledger, OWNER).loads
    assert before.stopped is not None
    assert (after.tool, after.place) == (cold.id, 1)
    assert signed_in.post(path).status_code == 409


def test_where_the_next_press_is_full_the_board_says_which_load_is_out_when(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    cold = add_tool(ledger, OWNER, ToolSaid(name="Book press", kind="cold press", capacity="1"))
    put_in(ledger, OWNER, [shelf.takes(a_purchase())], Step(values=COLD), tool=cold.id)
    recipe = keep_recipe(ledger, OWNER, "Warm, cold", [Step(values=HOT), Step(values=COLD)])
    load = put_in(ledger, OWNER, [shelf.takes(a_purchase())], Step(values=HOT), by=(recipe.id, 0))
    answer = signed_in.post(f"/bench/{load.id}/next")
    assert answer.status_code == 409
    assert "Book press has no room left, and one is to go in. Cold press, one book, comes out" in text_of(answer)
    assert signed_in.post("/bench/nothing/next").status_code == 404

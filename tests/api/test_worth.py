"""A book's choices over REST: weighed by what comes with the question, nothing guessed, what cannot be read refused."""

from typing import Any
from urllib.parse import urlencode

from tests.api.door import Door, fields, problem

WEIGHTS = [{"grade": "7.5", "per_mille": 500}, {"grade": "8.0", "per_mille": 500}]
ASKED = [
    ("currency", "USD"), ("given_up", "120.00"), ("grading", "30.00"), ("postage", "10.00"),
    ("graded", "7.5=200.00"), ("graded", "8.0=400.00"),
]  # fmt: skip


def path(book: str, *more: tuple[str, str]) -> str:
    return f"/books/{book}/worth?{urlencode([*ASKED, *more])}"


def foreseen(door: Door) -> tuple[str, int]:
    book = door.a_book()
    return book, door.an_event(book, "outlook", weights=WEIGHTS, stage="raw")


def usd(minor: int) -> dict[str, Any]:
    return {"minor": minor, "currency": "USD", "exponent": 2}


def test_choices_are_weighed_by_what_comes_with_the_question(door: Door) -> None:
    """By hand: 300.00 * 0.85 * (1 - 0.01 * 0.4) is 253.98; less 40.00 and 120.00 it is 93.98."""
    book, seq = foreseen(door)
    told = door.get(path(book)).json()
    choices = {each["choice"]: each for each in told["choices"]}
    work = choices["work-then-grade"]
    assert (work["cost"], work["net"], work["low"], work["high"]) == (usd(4000), usd(9398), usd(1000), usd(18000))
    assert (work["loss"], work["days"], work["heat"]) == (0.005, 90, None)
    assert work["break_even"] == {"needed": "7.5", "chance": 0.0, "held": 1.0}
    assert (choices["leave"]["net"], told["origin"], told["outlook"], told["weights"]) == (usd(0), "own", seq, WEIGHTS)
    assert "one-more-session" not in choices
    after = door.get(path(book, ("after", "100 % 8.0"), ("session_risk_per_mille", "0"))).json()["choices"]
    assert {each["choice"]: each["net"] for each in after}["one-more-session"] == usd(34000 - 16000)


def test_a_step_without_a_value_is_named(door: Door) -> None:
    book, _ = foreseen(door)
    told = door.get(f"/books/{book}/worth?currency=USD&given_up=1.00&graded=8.0%3D400.00").json()
    (work,) = (each for each in told["choices"] if each["choice"] == "work-then-grade")
    assert (work["unvalued"], work["net"]) == (["7.5"], None)
    assert told["graded"][0] == {"grade": "7.5", "value": None, "typed": False}
    assert door.get(f"/books/{book}/worth?currency=USD").json()["choices"] == []


def test_what_cannot_be_read_is_refused(door: Door) -> None:
    book, _ = foreseen(door)
    for more, named in (
        (("graded", "7.7=5.00"), ["graded"]),
        (("graded", "8.0=5.00"), ["graded"]),
        (("work", "1.005"), ["work"]),
    ):
        assert fields(problem(door.get(path(book, more)), 400)) == named
    problem(door.get(f"/books/{book}/worth?currency=QQQ"), 400)
    problem(door.get(path(book, ("after", "60 % 7.7"))), 400)
    problem(door.get(path("nobody")), 404)

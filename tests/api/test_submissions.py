"""Batches over REST: sent together with exact shares, told of, brought back, each forecast beside its result."""

from typing import Any

from tests.api.door import Door, fields, problem
from tests.usecases.forecast_books import back_then

MONEY = {"minor": 10000, "currency": "EUR", "exponent": 2}


def sent(door: Door, books: list[str], **changes: Any) -> dict[str, Any]:
    body = {
        "batch": "spring",
        "on": "2025-04-01",
        "service": "Third Bench",
        "books": [{"book": each} for each in books],
    }
    made = door.post("/submissions", {**body, **changes})
    assert made.status_code == 201, made.text
    assert made.headers["Location"].endswith("/submissions/spring")
    told: dict[str, Any] = made.json()
    return told


def shares(door: Door, written: dict[str, Any]) -> list[int]:
    seqs = [each["seq"] for each in written["entries"]]
    return [door.get(f"/events/{seq}").json()["sealed"]["fee"]["value"]["minor"] for seq in seqs]


def test_books_are_sent_in_one_act_and_share_the_fee_exactly(door: Door) -> None:
    """By hand: 100.00 in three is 33.34, 33.33, 33.33."""
    written = sent(door, [door.a_book() for _ in range(3)], fee=MONEY)
    assert shares(door, written) == [3334, 3333, 3333]
    batch = door.get("/submissions/spring").json()
    assert (batch["is_open"], batch["stage"], batch["service"], batch["sent_on"]) == (
        True, "sent", "Third Bench", "2025-04-01",
    )  # fmt: skip
    assert door.get("/submissions").json() == {"batches": [batch]}


def test_it_is_told_of_and_comes_back_beside_its_forecast(door: Door) -> None:
    book, other = door.a_book(), door.a_book()
    weights = [{"grade": "7.5", "per_mille": 600}, {"grade": "8.5", "per_mille": 400}]
    with back_then(door.ledger.clock, "2025-03-01"):
        foreseen = door.an_event(book, "outlook", weights=weights, stage="before sending")
    sent(door, [book, other])
    news = door.post("/submissions/spring/news", {"stage": "received there", "on": "2025-04-05"})
    assert [each["kind"] for each in news.json()["entries"]] == ["submission", "submission"]
    row = {"book": book, "as_written": "8.5", "step": "8.5", "holder_number": "N-1", "page_tone": "cream"}
    came = door.post("/submissions/spring/results", {"on": "2025-06-01", "invoice": MONEY, "results": [row]})
    assert came.status_code == 201, came.text
    first, second = door.get("/submissions/spring").json()["books"]
    assert (first["grade"], first["forecast_middle"], first["surprise_steps"]) == ("8.5", "7.5", 2)
    assert (first["forecast_entry"], first["under_way"], second["under_way"]) == (foreseen, False, True)
    assert (second["stage"], second["outcome"], second["surprise_steps"]) == ("received there", None, None)


def test_what_is_wrong_is_named_by_its_place_in_the_body(door: Door) -> None:
    book, other = door.a_book(), door.a_book()
    body = {"batch": "spring", "books": [{"book": book, "share": 1}, {"book": other}]}
    assert fields(problem(door.post("/submissions", body), 422)) == ["books.1.share"]
    assert fields(problem(door.post("/submissions", {**body, "batch": "Spring!"}), 422)) == ["batch"]
    problem(door.post("/submissions", {"batch": "spring", "books": [{"book": "nobody"}]}), 404)
    sent(door, [book])
    told = problem(door.post("/submissions", {"batch": "summer", "books": [{"book": other}, {"book": book}]}), 409)
    assert {each.rpartition(".")[0] for each in fields(told)} == {"books.1"}
    told = problem(door.post("/submissions/spring/results", {"results": [{"book": book}]}), 422)
    assert fields(told) == ["results.0.as_written"]
    assert fields(problem(door.post("/submissions/spring/news", {"stage": "sent"}), 422)) == ["stage"]
    problem(door.get("/submissions/autumn"), 404)


def test_the_same_key_sends_once(door: Door) -> None:
    key, body = door.new_key(), {"batch": "spring", "books": [{"book": door.a_book()}]}
    first = door.post("/submissions", body, Idempotency_Key=key)
    again = door.post("/submissions", body, Idempotency_Key=key)
    assert again.json() == first.json()
    assert again.headers["Idempotency-Replayed"] == "?1"


def test_amounts_are_taken_as_people_write_them_and_told_at_their_place(door: Door) -> None:
    book = {"book": door.a_book(), "insured_for": {"amount": "1.250,00", "currency": "EUR", "reading": "1.234,50"}}
    made = door.post("/submissions", {"batch": "spring", "fee": {"amount": "41", "currency": "EUR"}, "books": [book]})
    assert made.status_code == 201, made.text
    told = door.get(f"/events/{made.json()['entries'][0]['seq']}").json()["sealed"]
    assert (told["fee"]["value"]["minor"], told["insured_for"]["value"]["minor"]) == (4100, 125000)
    wrong = {"book": door.a_book(), "insured_for": {"amount": "dear", "currency": "EUR"}}
    told = problem(door.post("/submissions", {"batch": "summer", "books": [wrong]}), 422)
    assert fields(told) == ["books.0.insured_for.amount"]

"""Climate over REST: a file is looked at and taken in, a room and a book are told, and what is not known is null."""

from datetime import UTC, datetime, timedelta

import pytest

from api.climate_example import CLIMATE_ANSWERS
from ledger.actor import Permission
from tests.api.door import Door, door_to

CSV = "Time,Temperature (°C),Humidity (%)\n" + "".join(
    f"{datetime(2024, 1, 1, tzinfo=UTC) + timedelta(hours=hour):%Y-%m-%d %H:%M},24,60\n" for hour in range(240)
)


def looked(door: Door, text: str = CSV, query: str = "") -> dict[str, object]:
    answer = door.post(f"/climate{query}", text, Content_Type="text/csv", Idempotency_Key="")
    assert answer.status_code == 200, answer.text
    found: dict[str, object] = answer.json()
    return found


def test_a_file_is_looked_at_taken_in_and_listed(door: Door) -> None:
    before = door.size
    told = looked(door)
    assert (told["asks"], told["header_lines"], told["not_read"], told["dates"]) == ([], 1, 0, "year first")
    assert told["channels"] == [
        {
            "number": 1,
            "name": "",
            "first": "2024-01-01T00:00:00",
            "last": "2024-01-10T23:00:00",
            "readings": 240,
            "interval_seconds": 3600,
            "coverage_per_mille": 1000,
        }
    ]
    assert door.size == before
    body = {"channels": [{"channel": 1, "room": "study", "place": "On the shelf"}], "file_name": "a.csv"}
    key = door.new_key()
    for replayed in (False, True):
        answer = door.post(f"/climate/{told['sha256']}", body, Idempotency_Key=key)
        assert (answer.status_code, "Idempotency-Replayed" in answer.headers) == (201, replayed), answer.text
    assert door.size == before + 1
    (log,) = door.get("/climate").json()["logs"]
    assert (log["sha256"], log["room"], log["wall"], log["readings"]) == (told["sha256"], "study", None, 240)
    entry = door.get(f"/events/{log['entry']}").json()
    assert (entry["kind"], entry["body"]["file"], entry["sealed"]["file_name"]["value"]) == (
        *("climate", told["sha256"], "a.csv"),
    )


def test_a_room_is_told_over_all_or_over_days(door: Door) -> None:
    told = looked(door)
    door.post(f"/climate/{told['sha256']}", {"channels": [{"channel": 1, "room": "study"}]})
    air = door.get("/climate/rooms/study").json()
    # Ten days over the multiplier of 24 and 60 at 100 kJ/mol, 0.4541, worked out by hand.
    assert air["lifetime_multiplier"]["middle"] == pytest.approx(0.4541, abs=6e-5)
    assert air["equivalent_days"]["middle"] == pytest.approx(10 / 0.4541, rel=2e-4)
    assert (air["coverage_per_mille"], air["damp"][0]["warning"], air["celsius"]["mean"]) == (1000, "none", 24)
    some = door.get("/climate/rooms/study?first=2024-01-06&last=2024-01-15").json()
    assert (some["coverage_per_mille"], some["start"], some["end"]) == (
        *(500, "2024-01-06T00:00:00", "2024-01-16T00:00:00"),
    )
    none = door.get("/climate/rooms/study?first=2025-01-06&last=2025-01-15").json()
    assert (none["lifetime_multiplier"], none["celsius"], none["damp"][0]["warning"]) == (None, None, "not known")
    assert door.get("/climate/rooms/study?first=2024-01-06&last=2024-01-01").status_code == 422
    assert door.get("/climate/rooms/attic").status_code == 404


def test_what_aged_a_book_stands_side_by_side(door: Door) -> None:
    book = door.a_book()
    assert door.get(f"/books/{book}/ageing").json()["wall"] == {
        "stays": 0,
        "lasted_days": 0,
        "known_days": 0,
        "equivalent_days": None,
    }
    assert door.get("/books/b7q2m4x6n5k3j8h2g4f6d5s3a7/ageing").status_code == 404


def test_what_the_file_leaves_open_is_asked(door: Door) -> None:
    text = "Time,Temp,RH\n03/04/2024 00:00,68,50\n03/04/2024 01:00,77,50\n"
    told = looked(door, text)
    assert (told["asks"], told["channels"]) == (["dates", "temperature_unit"], [])
    body = {"channels": [{"channel": 1, "room": "study"}]}
    refused = door.post(f"/climate/{told['sha256']}", body)
    assert (refused.status_code, [each["field"] for each in refused.json()["errors"]]) == (
        *(422, ["dates", "temperature_unit"]),
    )
    said = looked(door, text, "?dates=month%20first&temperature_unit=%C2%B0F")
    assert said["asks"] == []
    taken = door.post(f"/climate/{told['sha256']}", {**body, "dates": "month first", "temperature_unit": "°F"})
    assert taken.status_code == 201


def test_what_is_no_logger_file_is_refused(door: Door) -> None:
    assert door.post("/climate", "nothing", Content_Type="text/csv", Idempotency_Key="").status_code == 400
    assert door.post("/climate", CSV, Idempotency_Key="").status_code == 415
    body = {"channels": [{"channel": 1, "room": "study"}]}
    assert door.post(f"/climate/{'ab' * 32}", body).status_code == 404
    assert door.post("/climate/x", {"channels": []}).status_code == 422


def test_who_may_only_read_takes_nothing_in(door: Door) -> None:
    reader = door_to(door.ledger, {Permission.READ})
    assert reader.get("/climate").status_code == 200
    assert reader.post("/climate", CSV, Content_Type="text/csv", Idempotency_Key="").status_code == 403


def test_the_air_at_a_wall_is_the_example_of_the_document(door: Door) -> None:
    asked = "/climate/wall?celsius=21&rh=55&outside=0&kind=solid-brick"
    reader = door.as_other(Permission.READ)
    assert reader.get(asked).json() == CLIMATE_ANSWERS["read_wall_air"]
    both = reader.get(f"{asked}&surface=14").json()
    assert both["estimate"] == CLIMATE_ANSWERS["read_wall_air"]["estimate"]
    # 21 degrees and 55 per cent are 85.6 per cent at 14 degrees, by hand.
    assert both["measured"]["rh"] == pytest.approx(85.6, abs=0.06)


@pytest.mark.parametrize(
    "asked", ["celsius=21&rh=55", "celsius=21&rh=155&outside=0", "celsius=21&rh=55&outside=0&kind=x"]
)
def test_a_wall_that_cannot_be_worked_out_is_refused_by_its_fields(door: Door, asked: str) -> None:
    answer = door.get(f"/climate/wall?{asked}")
    assert answer.status_code == 422

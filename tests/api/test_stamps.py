"""Stamps over HTTP: a request out, a time stamp and cosignatures in, and every refusal at its field."""

from base64 import b64decode, b64encode

import pytest

from ledger.actor import Permission
from ledger.proof.cosigning import cosign, line_text, read_shown
from ledger.proof.signature import CosigningKey, open_note
from tests.api.door import Door, door_to, problem
from tests.stamping import NAME, Authority

WITNESS = CosigningKey.from_seed("a-neighbour", b"\x0b" * 32)
TIME = 1767225600


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority.at(tmp_path_factory.mktemp("authority") / "lantern")


@pytest.fixture
def door(door: Door) -> Door:
    door.a_book(seller="canary of the harbour")
    assert door.client.post("/checkpoint").status_code == 200
    return door


def wanted(door: Door, query: str = "") -> bytes:
    answer = door.get(f"/checkpoint/stamps/wanted{query}")
    assert answer.status_code == 200, answer.text
    return b64decode(answer.json()["request"])


def coded(data: bytes) -> str:
    return b64encode(data).decode()


def a_line(door: Door) -> str:
    shown = read_shown(wanted(door, "?since=0"))
    return line_text(cosign(shown, [door.ledger.signer.verifier], None, WITNESS, TIME))


def test_a_time_stamp_goes_out_and_comes_in(door: Door, authority: Authority) -> None:
    asked = door.get("/checkpoint/stamps/wanted").json()
    assert (asked["size"], asked["media"]) == (2, "application/timestamp-query")
    request = b64decode(asked["request"])
    answer = door.post("/checkpoint/stamps", {"stamp": coded(authority.answer(request)), "request": coded(request)})
    assert answer.status_code == 201, answer.text
    (told,) = answer.json()["stamps"]
    assert (told["kind"], told["size"], told["by"], told["holds"]) == ("time stamp", 2, NAME, True)
    assert told["sentence"].startswith("This checkpoint existed at ")
    assert door.get("/checkpoint/stamps").json() == {"stamps": [told]}
    note = door.get("/checkpoint").json()["note"].encode()
    assert authority.verified(b64decode(told["stamp"]), note, token=True)


def test_a_cosignature_comes_in_and_stands_under_the_checkpoint(door: Door) -> None:
    answer = door.post("/checkpoint/stamps", {"stamp": coded(a_line(door).encode()), "key": WITNESS.verifier.vkey})
    assert answer.status_code == 201, answer.text
    (told,) = answer.json()["stamps"]
    assert (told["kind"], told["time"]) == ("cosignature", "2026-01-01T00:00:00.000000Z")
    note = door.get("/checkpoint").json()["note"]
    assert note.endswith(a_line(door))
    assert door.client.post("/checkpoint").json()["note"] == note
    assert open_note(note, [WITNESS.verifier]).verified[0].timestamp == TIME
    door.post("/checkpoint/stamps", {"stamp": coded(a_line(door).encode())})
    assert len(door.get("/checkpoint/stamps").json()["stamps"]) == 1


def test_nothing_sealed_goes_out(door: Door) -> None:
    for query in ("", "?since=0", "?since=1"):
        assert b"canary" not in wanted(door, query)


def test_each_refusal_stands_at_its_field(door: Door, authority: Authority) -> None:
    stamp = coded(authority.answer(wanted(door)))
    line = coded(a_line(door).encode())
    bodies: dict[str, dict[str, str]] = {
        "stamp": {"stamp": coded(b"<html>not a stamp</html>")},
        "request": {"stamp": stamp, "request": coded(b"no request")},
        "key": {"stamp": line, "key": "a-neighbour"},
    }
    for field, body in bodies.items():
        answer = door.post("/checkpoint/stamps", body)
        assert [each["field"] for each in problem(answer, 422)["errors"]] == [field]
    for body in ({"stamp": "not base64"}, {"stamp": stamp, "request": "not base64"}):
        assert "is not base64" in problem(door.post("/checkpoint/stamps", body), 422)["errors"][0]["sentence"]
    other = door.post("/checkpoint/stamps", {"stamp": stamp, "request": coded(wanted(door))})
    assert problem(other, 422)["errors"][0]["sentence"] == (
        "This time stamp answers another request than the one given with it."
    )
    assert (
        "whose verifier key is not known here"
        in problem(door.post("/checkpoint/stamps", {"stamp": line}), 422)["detail"]
    )
    assert door.get("/checkpoint/stamps").json() == {"stamps": []}


def test_a_size_that_never_was_is_refused(door: Door) -> None:
    assert problem(door.get("/checkpoint/stamps/wanted?since=99"), 422)["errors"][0]["field"] == "since"


def test_without_a_checkpoint_there_is_nothing_to_stamp(real_door: Door) -> None:
    problem(real_door.get("/checkpoint/stamps/wanted"), 409)
    problem(real_door.post("/checkpoint/stamps", {"stamp": coded(b"anything")}), 409)


def test_a_token_that_may_not_sign_takes_nothing_in(door: Door) -> None:
    reader = door_to(door.ledger, {Permission.READ, Permission.RECORD})
    assert reader.get("/checkpoint/stamps").status_code == 200
    problem(reader.post("/checkpoint/stamps", {"stamp": coded(a_line(door).encode())}), 403)

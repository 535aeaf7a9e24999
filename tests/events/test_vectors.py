"""Every kind as a door sends it and as it stands in the ledger: one file of cases per kind."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.events import KINDS, Event
from ledger.proof.canonical import decode, encode
from ledger.proof.canonical import read as read_json
from ledger.sealed import Sealed, SealState
from ledger.store.codec import EventCodec, read_event
from tests.builders import an_entry

FOLDER = Path(__file__).parent.parent / "vectors" / "events"
MEMBERS = {"kind", "v", "why", "input", "body", "sealed"}
CODEC = EventCodec()


def _cases() -> list[tuple[str, dict[str, Any]]]:
    """Every case with the name of its file; a file holds one case or a list of them."""
    found = []
    for path in sorted(FOLDER.glob("*.json")):
        content = json.loads(path.read_text(encoding="utf-8"))
        found += [(path.stem, case) for case in (content if isinstance(content, list) else [content])]
    return found


CASES = [pytest.param(case, id=f"{name}-{number}") for number, (name, case) in enumerate(_cases(), start=1)]


def sent(case: dict[str, Any]) -> Event:
    """The event of a case, read as a door reads it and completed from the entries `before` it, if it needs some."""
    before = [an_entry(_read(each), seq) for seq, each in enumerate(case.get("before", []), start=1)]
    return _read(case).complete(before)


def _read(case: dict[str, Any]) -> Event:
    given = read_json(json.dumps(case["input"]))
    assert isinstance(given, dict)
    return read_event(KINDS[case["kind"]], given)


def stored(event: Event) -> Event:
    """The event written to its stored form and read back from those bytes."""
    body, values = CODEC.split(event)
    again = decode(encode(body))
    assert isinstance(again, dict)
    on = str(event.on) if event.on else None
    return CODEC.join(event.kind, event.v, on, again, {name: Sealed.of(value) for name, value in values.items()})


def test_every_kind_has_its_file_and_every_file_its_kind() -> None:
    assert {name for name, _ in _cases()} == set(KINDS)
    for name, case in _cases():
        assert case["kind"] == name
        assert MEMBERS <= case.keys() <= {*MEMBERS, "before"}


@pytest.mark.parametrize("case", CASES)
def test_what_a_door_sends_is_free_of_flaws(case: dict[str, Any]) -> None:
    event = sent(case)
    assert (event.kind, event.v) == (case["kind"], case["v"])
    assert list(event.flaws()) == []
    assert event.summary().strip()


@pytest.mark.parametrize("case", CASES)
def test_the_open_body_is_these_bytes_and_these_names_are_sealed(case: dict[str, Any]) -> None:
    body, values = CODEC.split(sent(case))
    assert encode(body).decode() == case["body"]
    assert sorted(values) == sorted(case["sealed"])
    assert not set(body) & {*values, "on"}


@pytest.mark.parametrize("case", CASES)
def test_no_sealed_value_shows_in_the_open_body(case: dict[str, Any]) -> None:
    _, values = CODEC.split(sent(case))
    texts = [value for value in values.values() if isinstance(value, str)]
    assert not [text for text in texts if text in case["body"]]


@pytest.mark.parametrize("case", CASES)
def test_the_event_comes_back_from_its_stored_form_as_it_was(case: dict[str, Any]) -> None:
    event = sent(case)
    assert stored(event) == event


@pytest.mark.parametrize("case", CASES)
def test_a_reader_to_whom_nothing_was_shown_gets_the_same_open_event(case: dict[str, Any]) -> None:
    event = sent(case)
    body, values = CODEC.split(event)
    on = str(event.on) if event.on else None
    shut = CODEC.join(event.kind, event.v, on, body, dict.fromkeys(values, Sealed.withheld()))
    assert {held.state for held in shut.sealed_fields().values()} <= {SealState.WITHHELD}
    assert CODEC.split(shut)[0] == body


@pytest.mark.parametrize("case", CASES)
def test_a_field_the_kind_does_not_have_is_refused(case: dict[str, Any]) -> None:
    stray = {**case, "input": {**case["input"], "colour_of_the_sky": "blue"}}
    with pytest.raises(Exception, match="colour_of_the_sky"):
        sent(stray)


@pytest.mark.parametrize("case", CASES)
def test_the_date_is_not_part_of_the_body(case: dict[str, Any]) -> None:
    event = sent(case)
    assert CODEC.split(replace(event, on=None))[0] == CODEC.split(event)[0]

"""Starter steps: each row is common practice, fits a form, and carries the caution of its technique."""

import json
from dataclasses import fields

import pytest

from ledger.bench import FIELDS, Step, flaws_of
from ledger.events._settings import Settings
from ledger.rules import steps
from ledger.rules._tables import TableError, read_table
from ledger.rules.steps import Starter, starter, starters
from ledger.rules.techniques import technique

WORDS = {
    # Common practice, no source: what the work at the bench consists of, and the only numbers that are named for it.
    "dry-clean": ("dry-cleaning", None),
    "press-and-look": ("hot-press-dry", None),
    "heat-on-ticks": ("local-heat", None),
    "little-moisture": ("hot-press-humidified", None),
    "long-press-12": ("hot-press-dry", 12 * 60),
    "long-press-24": ("hot-press-dry", 24 * 60),
    "edge-left-alone": ("hot-press-dry", None),
    "cold-press-12": ("cold-press", 12 * 60),
}


def test_the_table_has_what_common_practice_does_and_no_number_besides() -> None:
    assert {each.id: (each.technique, Step(values=each.values).minutes) for each in starters()} == WORDS
    assert {name for each in starters() for name in each.settings} == {"settings.total_minutes"}


@pytest.mark.parametrize("each", starters(), ids=lambda each: each.id)
def test_a_row_fits_the_form_and_says_that_it_has_no_source(each: Starter) -> None:
    assert flaws_of(Step(values=each.values)) == []
    assert set(each.values) <= set(FIELDS)
    assert {name.partition(".")[2] for name in each.settings} <= {field.name for field in fields(Settings)}
    assert each.sources == ("common practice, no source",)
    assert each.says


@pytest.mark.parametrize("each", starters(), ids=lambda each: each.id)
def test_a_row_carries_the_caution_of_its_technique(each: Starter) -> None:
    assert each.caution == technique(each.technique).caution
    assert (each.caution is not None) or not technique(each.technique).needs_heat


def test_ten_seconds_are_said_and_not_rounded_to_a_minute() -> None:
    ticks = starter("heat-on-ticks")
    assert ticks is not None
    assert "ten seconds" in ticks.says
    assert "ten seconds" in ticks.note
    assert "settings.hold_minutes" not in ticks.values


def test_the_edge_that_is_left_alone_is_a_note_of_the_step() -> None:
    edge = starter("edge-left-alone")
    assert edge is not None
    assert edge.values["note"] == "Upper edge left alone."


def test_there_is_no_other() -> None:
    assert starter("wishing") is None


@pytest.mark.parametrize("settings", ["720", ["720"], {"settings.total_minutes": 720}])
def test_settings_that_are_no_texts_by_name_are_refused(settings: object) -> None:
    row = {"id": "x", "title": "X", "technique": "cold-press", "note": "", "says": "x", "caution": "lifting"}
    whole = {
        "name": "steps",
        "version": 1,
        "sources": {"trade": "common practice, no source"},
        "rows": [{**row, "settings": settings, "source": "trade"}],
    }
    with pytest.raises(TableError) as caught:
        steps._read(read_table("steps", json.dumps(whole)).rows[0])
    assert caught.value.where == "steps, row x, field settings"

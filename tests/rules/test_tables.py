"""Every rule table: whole, versioned, frozen, and with a source for every row."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.events.ruling import NOT_EDITED
from ledger.rules import _tables
from ledger.rules._tables import Table, TableError, read_table, table

NAMES = sorted(path.stem for path in (Path(_tables.__file__).parent / "tables").iterdir())


UNPUBLISHED = {
    "trade": "common practice, no source",
    "memory": "from memory",
    "assumption": "our assumption, editable",
    "fixed": "our assumption, not editable",
}

PUBLISHED = re.compile(
    r"\b(ISO|NISO|PAS|BS|ICOM-CC|AIC|ASHRAE|CIE|Icon|Bizot|Padfield|Library of Congress|Annual|Archives|Institute|OpenJDK"
    r"|National Gallery|Approved Document|encyclopedias?|suppliers|manual|teaching)\b"
)
"""Who publishes what the tables rest on."""


def a_table(**changes: Any) -> str:
    found: dict[str, Any] = {
        "name": "inks",
        "version": 1,
        "sources": {"trade": "common practice, no source"},
        "rows": [
            {"id": "black", "fades": False, "class": 5, "faces": ["front"], "source": "trade"},
            {"id": "red", "fades": True, "class": 2, "faces": [], "source": ["trade"]},
        ],
    }
    return json.dumps(found | changes)


@pytest.mark.parametrize("name", NAMES)
def test_every_table_that_ships_is_well_formed_and_every_row_has_a_source(name: str) -> None:
    found = table(name)
    assert found.name == name
    assert found.version >= 1
    assert all(row.sources and row.id for row in found.rows)
    assert table(name) is found


@pytest.mark.parametrize("name", NAMES)
def test_no_row_passes_off_memory_or_assumption_as_a_published_source(name: str) -> None:
    for key, words in table(name).sources.items():
        open_words = [said for mark, said in UNPUBLISHED.items() if words.startswith(said) or key == mark]
        assert not open_words or words.startswith(UNPUBLISHED.get(key, "no such key"))
        assert open_words or PUBLISHED.search(words), words


def test_what_cannot_be_ruled_on_never_says_that_it_can_be_and_what_can_be_never_that_it_cannot() -> None:
    for name in NAMES:
        said = " ".join(table(name).sources.values())
        assert ("our assumption, not editable" if name not in NOT_EDITED else "our assumption, editable") not in said


def test_a_row_gives_its_fields_by_class() -> None:
    row = read_table("inks", a_table()).row("black")
    assert row is not None
    assert (row.id, row.flag("fades"), row.whole("class"), row.texts("faces")) == ("black", False, 5, ("front",))
    assert row.sources == ("common practice, no source",)
    assert row.one_of("id", ("black", "red")) == "black"


@pytest.mark.parametrize(
    "ask",
    [
        lambda row: row.text("class"),
        lambda row: row.whole("fades"),
        lambda row: row.flag("class"),
        lambda row: row.texts("id"),
        lambda row: row.text("absent"),
        lambda row: row.one_of("id", ("red",)),
    ],
)
def test_a_field_of_another_class_is_refused_with_table_row_and_field(ask: Callable[[Any], object]) -> None:
    with pytest.raises(TableError) as caught:
        ask(read_table("inks", a_table()).row("black"))
    assert caught.value.where.startswith("inks, row black, field ")


def test_a_row_that_is_not_there_is_none() -> None:
    assert read_table("inks", a_table()).row("green") is None


def test_nothing_in_a_table_can_be_changed() -> None:
    found = read_table("inks", a_table())
    row: Any = found.rows[0]
    with pytest.raises(TypeError):
        row.fields["class"] = 8
    with pytest.raises(TypeError):
        found.sources["x"] = "y"  # type: ignore[index]  # that it cannot is the point
    with pytest.raises(AttributeError):
        found.version = 2  # type: ignore[misc]  # that it cannot is the point


ROW = {"id": "black", "source": "trade"}


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("{", "inks"),
        ("[]", "inks"),
        (a_table(more=1), "inks"),
        (a_table(name="papers"), "inks"),
        (a_table(version=0), "inks"),
        (a_table(version="1"), "inks"),
        (a_table(sources=["trade"]), "inks"),
        (a_table(rows=[]), "inks"),
        (a_table(rows=["black"]), "inks, row 1"),
        (a_table(rows=[ROW, {"id": "red"}]), "inks, row 2"),
        (a_table(rows=[{"id": "red", "source": "hearsay"}]), "inks, row 1"),
        (a_table(rows=[{"id": "red", "source": []}]), "inks, row 1"),
        (a_table(rows=[{"id": "red", "source": ""}]), "inks, row 1"),
        (a_table(rows=[ROW, ROW]), "inks, row black"),
        (a_table(sources={"trade": "common practice, no source", "idle": "a book"}), "inks, source idle"),
    ],
)
def test_a_table_that_is_not_well_formed_is_refused_where_it_is_wrong(text: str, where: str) -> None:
    with pytest.raises(TableError) as caught:
        read_table("inks", text)
    assert caught.value.where == where


@pytest.mark.parametrize("figure", ["0.5", "1e3", "NaN"])
def test_a_fraction_in_a_table_is_refused(figure: str) -> None:
    with pytest.raises(TableError) as caught:
        read_table("inks", a_table().replace("5", figure, 1))
    assert "as text" in caught.value.mend


def test_a_member_that_stands_twice_is_refused() -> None:
    with pytest.raises(TableError) as caught:
        read_table("inks", '{"name": "inks", "name": "inks"}')
    assert "twice" in caught.value.problem


def test_tables_are_told_apart_by_name() -> None:
    assert isinstance(table("grades"), Table)
    assert {"grades", "techniques", "defects", "ceilings", "currencies", "cautions"} <= set(NAMES)

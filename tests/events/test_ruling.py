"""A ruling on a rule row: its rules, the row it makes, its line."""

import json
from typing import Any

import pytest

from ledger.collection import Collection
from ledger.events.ruling import RULED, NewValue, Ruling
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold_collection, history
from ledger.rules._tables import Row, table
from ledger.rules.techniques import technique
from tests.builders import CODEC, an_entry, at, on, shut

MADE_UP = Row(
    "made-up",
    {"id": "a", "count": 3, "allowed": True, "faces": ("front", "back"), "words": "yes", "source": "trade"},
    ("common practice, no source",),
)


def ruling(*values: tuple[str, str], **changes: Any) -> Ruling:
    row = {"table": "techniques", "row": "dry-cleaning", "version": table("techniques").version}
    new = tuple(NewValue(field=field, value=value) for field, value in values or (("removes_original", "yes"),))
    return Ruling(**{"on": on("2025-01-01"), **row, "values": new, **changes})


def on_ceiling(classes: str) -> Ruling:
    return ruling(("classes", classes), table="ceilings", row="bend", version=table("ceilings").version)


def broken_rules(event: Ruling) -> list[tuple[str, str]]:
    found = [*event.flaws(), *event.check_collection(Collection(id="c"))]
    return [(problem.rule, problem.field) for problem in found]


def test_a_value_that_differs_breaks_no_rule() -> None:
    assert broken_rules(ruling()) == []
    assert broken_rules(ruling(("aims", "preventive\nremedial"))) == []


@pytest.mark.parametrize("name", ["grades", "currencies", "cautions", "no_such_table"])
def test_a_standard_the_scale_and_warnings_are_not_edited(name: str) -> None:
    assert broken_rules(ruling(table=name)) == [("ruling.1", "table")]


@pytest.mark.parametrize("difference", [-1, 1])
def test_it_is_on_the_version_this_program_has(difference: int) -> None:
    assert broken_rules(ruling(version=table("techniques").version + difference)) == [("ruling.2", "version")]


def test_the_row_stands_in_the_table() -> None:
    assert broken_rules(ruling(row="no-such-row")) == [("ruling.3", "row")]


@pytest.mark.parametrize("field", ["id", "source", "no_such_field"])
def test_every_field_is_one_of_the_row_and_neither_id_nor_source(field: str) -> None:
    assert ("ruling.4", "values.1.field") in broken_rules(ruling(("alters", "yes"), (field, "x")))


def test_a_field_has_one_new_value() -> None:
    assert broken_rules(ruling(("alters", "yes"), ("alters", "not known"))) == [("ruling.4", "values.1.field")]


@pytest.mark.parametrize(
    "classes",
    [
        "few",
        "[]",
        "{}",
        '[{"up_to": "2"}]',
        '[{"up_to": "2", "allows": "9.8", "more": "x"}]',
        '[{"up_to": 2, "allows": "9.8"}]',
        '[{"up_to": "2", "allows": "9.8"}, "9.6"]',
        '[{"up_to": "2", "up_to": "3", "allows": "9.8"}]',
    ],
)
def test_classes_are_a_list_of_objects_of_one_shape(classes: str) -> None:
    assert ("ruling.5", "values.0.value") in broken_rules(on_ceiling(classes))


def test_a_text_or_a_list_with_a_blank_in_it_does_not_read() -> None:
    assert ("ruling.5", "values.1.value") in broken_rules(ruling(("alters", "yes"), ("title", " ")))
    assert ("ruling.5", "values.1.value") in broken_rules(
        ruling(("alters", "yes"), ("aims", "remedial\n\nrestoration"))
    )


def test_what_the_row_says_already_is_no_ruling() -> None:
    assert broken_rules(ruling(("removes_original", "no"))) == [("ruling.6", "values")]
    assert broken_rules(ruling(values=())) == [("ruling.6", "values")]


def test_the_edited_row_has_the_new_values_and_says_whose_they_are() -> None:
    shipped = technique("dry-cleaning")
    row = table("techniques").row("dry-cleaning")
    assert row is not None
    edited = ruling(("removes_original", "yes"), ("aims", "remedial")).edited(row)
    assert (edited.text("removes_original"), edited.texts("aims")) == ("yes", ("remedial",))
    assert edited.text("title") == shipped.title
    assert edited.sources == (*row.sources, RULED)
    assert row.text("removes_original") == "no"


def test_classes_come_into_the_edited_row_as_the_table_has_them() -> None:
    classes = [{"up_to": "5", "allows": "9.6"}, {"up_to": None, "allows": "8.0"}]
    event = on_ceiling(json.dumps(classes))
    assert broken_rules(event) == []
    row = table("ceilings").row("bend")
    assert row is not None
    found = event.edited(row).fields["classes"]
    assert isinstance(found, tuple)
    assert [dict(each) for each in found] == classes


@pytest.mark.parametrize(
    ("field", "value", "meant"),
    [
        ("count", "12", 12),
        ("count", "-3", -3),
        ("allowed", "no", False),
        ("faces", "front", ("front",)),
        ("faces", "", ()),
        ("words", "no", "no"),
    ],
)
def test_a_value_reads_as_its_field_does(field: str, value: str, meant: object) -> None:
    found = ruling((field, value)).edited(MADE_UP).fields[field]
    assert (found, type(found)) == (meant, type(meant))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("count", "1.5"),
        ("count", "-0"),
        ("count", "01"),
        ("allowed", "true"),
        ("id", "b"),
        ("source", "me"),
        ("x", "y"),
    ],
)
def test_a_value_that_does_not_fit_leaves_the_shipped_one(field: str, value: str) -> None:
    assert ruling((field, value)).edited(MADE_UP).fields == MADE_UP.fields


def test_a_later_ruling_on_the_row_takes_its_place_and_a_withdrawn_one_is_out() -> None:
    entries = [
        an_entry(ruling(), 1, book=None),
        an_entry(ruling(("alters", "yes")), 2, book=None),
        an_entry(ruling(row="cold-press"), 3, book=None),
    ]
    rulings = fold_collection("c", history(entries, CODEC)).rulings
    assert dict(rulings) == {("techniques", "dry-cleaning"): 2, ("techniques", "cold-press"): 3}
    taken = [*entries, an_entry(Withdrawal(on=on("2025-01-02"), entry=2), 4, book=None)]
    assert fold_collection("c", history(taken, CODEC)).rulings["techniques", "dry-cleaning"] == 1


def test_it_leaves_the_rulings_on_other_rows() -> None:
    before = ruling(row="cold-press").apply_collection(Collection(id="c"), at(1))
    assert len(ruling().apply_collection(before, at(2)).rulings) == 2


def test_its_line_tells_table_row_and_fields() -> None:
    assert shut(ruling()).summary() == "Ruling on techniques, dry-cleaning: removes_original"

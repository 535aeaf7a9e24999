"""A form as it is shown: what was typed exactly so, lines open where something is said, and what the book is known for."""

from ledger.events import KINDS
from ledger.proof.canonical import Plain
from tests.web.test_forms import blocks_in, fields_in, typed
from tests.web.typed import HABITS
from web.form_fields import Group
from web.form_parts import parts_of
from web.form_showing import Block, View
from web.forms import form_of


def test_what_was_typed_stands_there_exactly_so_when_the_form_comes_back() -> None:
    given = typed(on="  3 Apr ", next="stop", why=" two\n lines ")
    form = form_of("choice")
    _, heard = form.heard(given, HABITS)
    shown = {field.name: field.value for field in fields_in(form.shown(View(typed=given, heard=heard)))}
    assert shown == {"on": "  3 Apr ", "next": "stop", "why": " two\n lines "}


def test_boxes_of_which_none_was_ticked_stay_unticked() -> None:
    form = form_of("examination")
    _, heard = form.heard({}, HABITS)
    lights = next(field for field in fields_in(form.shown(View(typed={}, heard=heard))) if field.name == "lights")
    assert lights.values == ()


def test_a_line_opens_where_something_was_typed_or_is_wrong_in_it() -> None:
    form = form_of("purchase")
    blank = {block.name: block.open for block in blocks_in(form.shown(View(typed={}))) if block.way == "fold"}
    assert blank
    assert not any(blank.values())
    view = View(typed=typed(seller="M. Ashgrove"), faults={"tax": "no"})
    opened = {block.name for block in blocks_in(form.shown(view)) if block.way == "fold" and block.open}
    assert opened == {"seller:fold", "costs:fold"}


def test_one_more_row_is_shown_when_it_is_asked_for() -> None:
    form = form_of("outlook")
    given = {f"weights.{number}.grade": ("9.0",) for number in range(3)}
    names = {field.name for field in fields_in(form.shown(View(typed=given, more="weights")))}
    assert {"weights.3.grade", "weights.3.per_mille"} <= names
    assert "weights.4.grade" not in names


KNOWN = {"worked_defects": [("d1", "d1: bend, front"), ("d2", "d2: tear, back")]}
ANSWERS = [
    ("", "no work"),
    ("meant", "worked on"),
    ("gone", "gone"),
    ("lessened", "lessened"),
    ("same", "same"),
    ("worse", "worse"),
]


def test_each_defect_of_the_book_has_a_row_whose_one_answer_says_both_that_it_was_worked_on_and_what_was_seen() -> None:
    block = next(each for each in blocks_in(form_of("intervention", known=KNOWN).shown(View(typed={}))) if each.parts)
    assert (block.way, block.name) == ("each", "worked_defects")
    first, second = (list(fields_in([each])) for each in block.parts)
    assert [(field.way, field.name, field.value) for field in first] == [
        ("given", "worked_defects.0.id", "d1"),
        ("choose", "worked_defects.0.outcome", ""),
    ]
    assert (first[1].label, first[1].pairs) == ("d1: bend, front", ANSWERS)
    assert [field.name for field in second] == ["worked_defects.1.id", "worked_defects.1.outcome"]


def test_a_defect_that_was_not_worked_on_is_left_out_though_its_id_is_sent_along() -> None:
    form = form_of("intervention", known=KNOWN)
    sent = typed(worked_defects__0__id="d1", worked_defects__0__outcome="", worked_defects__1__id="d2")
    assert "worked_defects" not in form.heard(sent, HABITS)[0]
    for answer, outcome in (("meant", None), ("gone", "gone"), ("worse", "worse")):
        plain, heard = form.heard(sent | typed(worked_defects__1__outcome=answer), HABITS)
        assert plain["worked_defects"] == [{"id": "d2", "outcome": outcome}]
        assert heard.place_of("worked_defects.0.id") == "worked_defects.1.id", (
            "a rule that is broken is told at its row"
        )


def test_an_answer_stays_with_its_defect_though_others_came_or_went_meanwhile() -> None:
    sent = typed(worked_defects__0__id="d2", worked_defects__0__outcome="gone", worked_defects__1__id="d9")
    block = next(each for each in blocks_in(form_of("intervention", known=KNOWN).shown(View(typed=sent))) if each.parts)
    shown = [[(field.name, field.value) for field in fields_in([each])] for each in block.parts]
    assert shown == [
        [("worked_defects.2.id", "d1"), ("worked_defects.2.outcome", "")],
        [("worked_defects.0.id", "d2"), ("worked_defects.0.outcome", "gone")],
        [("worked_defects.1.id", "d9"), ("worked_defects.1.outcome", "")],
    ]


def test_values_become_the_answers_that_would_be_given_for_them() -> None:
    worked: list[Plain] = [{"id": "d2", "outcome": None}, {"id": "d1", "outcome": "same"}]
    inputs = form_of("intervention", known=KNOWN).inputs({"worked_defects": worked}, HABITS)
    assert {name: value for name, value in inputs.items() if name.startswith("worked_defects")} == typed(
        worked_defects__0__id="d2",
        worked_defects__0__outcome="meant",
        worked_defects__1__id="d1",
        worked_defects__1__outcome="same",
    )


def test_what_is_known_of_the_book_is_suggested() -> None:
    looking = form_of("examination", known={"defects.#.id": [("d1", "d1: bend, front")]})
    named = next(each for each in fields_in(looking.shown(View(typed={}))) if each.name == "defects.0.id")
    assert (named.way, named.suggest) == ("line", (("d1", "d1: bend, front"),))


def test_only_what_is_needed_in_any_case_is_marked_as_needed() -> None:
    def needed(kind: str) -> set[str]:
        return {field.name for field in fields_in(form_of(kind).shown(View(typed={}))) if field.needed}

    assert needed("purchase") == {"issue.title", "issue.number"}, "a stated grade may be left out as a whole"
    assert needed("examination") == set(), "so may a row"
    assert needed("outlook") == {"weights.0.grade", "weights.0.per_mille"}, "but for the one that there must be"


def test_a_group_that_must_be_there_stands_in_sight() -> None:
    blocks = [part for part in form_of("identification").shown(View(typed={})) if isinstance(part, Block)]
    assert [(block.way, block.name) for block in blocks] == [("group", "issue")]
    group = next(part for part in parts_of(KINDS["identification"]) if isinstance(part, Group))
    assert not group.optional

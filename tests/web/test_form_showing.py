"""A form as it is shown: what was typed exactly so, lines open where something is said, and what the book is known for."""

from ledger.events import KINDS
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


def test_what_is_known_of_the_book_is_ticked_or_suggested() -> None:
    form = form_of("intervention", known={"worked_defects": [("d1", "d1: bend, front")]})
    field = next(each for each in fields_in(form.shown(View(typed={}))) if each.name == "worked_defects")
    assert (field.way, field.pairs) == ("ticks", [("d1", "d1: bend, front")])
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

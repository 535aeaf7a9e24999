"""The words: read by key, filled in, counted; every key that is asked for is there, and every one there is asked for."""

import ast
import json
import string
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from jinja2 import nodes
from jinja2.filters import do_forceescape

from tests.asking import texts_asked
from web.render import TEMPLATES, environment
from web.wording import FOLDER, Counted, Words, t

WEB = TEMPLATES.parent


def written(folder: Path, area: str, texts: object) -> Words:
    (folder / f"{area}.json").write_text(json.dumps(texts), "utf-8")
    return Words(folder)


def test_a_file_is_an_area_and_its_inner_names_follow_with_points(tmp_path: Path) -> None:
    words = written(tmp_path, "shelf", {"title": "Shelf", "left": {"word": "left end"}})
    assert words("shelf.title") == "Shelf"
    assert words("shelf.left.word") == "left end"


def test_values_are_filled_in_where_they_are_named(tmp_path: Path) -> None:
    words = written(tmp_path, "shelf", {"holds": "{place} holds {what}"})
    assert words("shelf.holds", what="books", place="Box A") == "Box A holds books"


@pytest.mark.parametrize(("count", "said"), [(0, "0 books"), (1, "one book"), (2, "2 books"), (12345, "12,345 books")])
def test_a_text_that_counts_has_one_form_for_one_and_one_for_all_else(tmp_path: Path, count: int, said: str) -> None:
    words = written(tmp_path, "shelf", {"books": {"one": "one book", "many": "{count} books"}})
    assert words.n("shelf.books", count) == said


def test_markup_among_the_values_stays_and_all_else_is_escaped(tmp_path: Path) -> None:
    words = written(tmp_path, "shelf", {"of": "{title} & {maker}"})
    title = do_forceescape("Q") + do_forceescape("<")
    assert words("shelf.of", title=title, maker="<b>") == "Q&lt; &amp; &lt;b&gt;"
    assert words("shelf.of", title="Q<", maker="<b>") == "Q< & <b>", "without markup the page escapes the whole"


def test_a_hole_is_never_shown(tmp_path: Path) -> None:
    words = written(tmp_path, "shelf", {"of": "of {title}", "books": {"one": "one", "many": "{count}"}})
    with pytest.raises(KeyError, match=r"shelf\.lost"):
        words("shelf.lost")
    with pytest.raises(KeyError, match="title"):
        words("shelf.of")
    with pytest.raises(KeyError, match="counts"):
        words("shelf.books")
    with pytest.raises(KeyError, match="does not count"):
        words.n("shelf.of", 1, title="Q")


@pytest.mark.parametrize(
    "texts", [{"a": 1}, {"a": {}}, {"a": {"one": "x"}}, {"a": {"one": "x", "many": "y", "b": "z"}}]
)
def test_what_is_no_text_is_refused_with_its_key(tmp_path: Path, texts: object) -> None:
    with pytest.raises(ValueError, match="shelf"):
        written(tmp_path, "shelf", texts)("shelf.a")


def test_the_words_are_plain_sentences() -> None:
    for key, text in t.texts.items():
        for form in (text.one, text.many) if isinstance(text, Counted) else (text,):
            assert form, key
            assert form == " ".join(form.split()), key
            assert "!" not in form, key


@dataclass(frozen=True)
class Use:
    """One place that asks for words: a whole key, or the beginning of one that ends in a point."""

    place: str
    key: str
    whole: bool
    counts: bool
    values: frozenset[str] | None
    """Names of the values given; null when they are spread from a mapping."""


def in_template(path: Path) -> Iterator[Use]:
    for call in environment().parse(path.read_text("utf-8")).find_all(nodes.Call):
        callee = call.node
        counts = isinstance(callee, nodes.Getattr) and callee.attr == "n"
        said_by = callee.node if isinstance(callee, nodes.Getattr) and counts else callee
        if not (isinstance(said_by, nodes.Name) and said_by.name == "t"):
            continue
        given = None if call.dyn_kwargs else frozenset(each.key for each in call.kwargs)
        for key, whole in template_keys(call.args[0]):
            yield Use(f"{path.name}:{call.lineno}", key, whole, counts, given)


def template_keys(arg: nodes.Node) -> Iterator[tuple[str, bool]]:
    match arg:
        case nodes.Const():
            yield str(arg.value), True
        case nodes.Concat() if isinstance(arg.nodes[0], nodes.Const):
            yield str(arg.nodes[0].value), False
        case nodes.CondExpr():
            yield from template_keys(arg.expr1)
            assert arg.expr2 is not None
            yield from template_keys(arg.expr2)
        case _:
            yield f"unreadable in line {arg.lineno}", True


def in_python(path: Path) -> Iterator[Use]:
    for call, counts in texts_asked(path):
        names = [each.arg for each in call.keywords]
        given = None if None in names else frozenset(name for name in names if name)
        for key, whole in python_keys(call.args[0]):
            yield Use(f"{path.relative_to(WEB)}:{call.lineno}", key, whole, counts, given)


def python_keys(arg: ast.expr) -> Iterator[tuple[str, bool]]:
    match arg:
        case ast.Constant(value=str(key)):
            yield key, True
        case ast.JoinedStr(values=[ast.Constant(value=str(start)), *_]):
            yield start, False
        case ast.IfExp(body=body, orelse=other):
            yield from python_keys(body)
            yield from python_keys(other)
        case _:
            yield f"unreadable in line {arg.lineno}", True


def all_uses() -> list[Use]:
    templates = [use for path in TEMPLATES.rglob("*.html") for use in in_template(path)]
    return templates + [use for path in WEB.rglob("*.py") for use in in_python(path)]


def names_in(text: str | Counted) -> frozenset[str]:
    forms = (text.one, text.many) if isinstance(text, Counted) else (text,)
    return frozenset(name for form in forms for _, name, _, _ in string.Formatter().parse(form) if name)


def test_every_key_that_is_asked_for_is_there() -> None:
    beginnings = {f"{key[:at]}." for key in t.texts for at, mark in enumerate(key) if mark == "."}
    lost = [
        f"{use.place}: {use.key}"
        for use in all_uses()
        if not (use.key in t.texts if use.whole else use.key in beginnings)
    ]
    assert not lost, "\n".join(lost)


def test_every_key_that_is_there_is_asked_for() -> None:
    uses = all_uses()
    assert uses
    whole = {use.key for use in uses if use.whole}
    begun = tuple({use.key for use in uses if not use.whole})
    unused = [key for key in t.texts if key not in whole and not key.startswith(begun)]
    assert not unused, "\n".join(unused)


def test_every_text_is_given_the_values_it_names_and_no_others() -> None:
    wrong = []
    for use in all_uses():
        text = t.texts.get(use.key)
        if not use.whole or text is None or use.values is None:
            continue
        if use.counts != isinstance(text, Counted):
            wrong.append(f"{use.place}: {use.key} counts, or does not")
        elif names_in(text) - {"count"} != use.values:
            wrong.append(f"{use.place}: {use.key} names {sorted(names_in(text))}, is given {sorted(use.values)}")
    assert not wrong, "\n".join(wrong)


def test_a_file_of_words_is_an_area_in_order_of_its_own() -> None:
    for file in FOLDER.iterdir():
        assert file.suffix == ".json", file
        texts = json.loads(file.read_text("utf-8"))
        assert file.read_text("utf-8") == json.dumps(texts, ensure_ascii=False, indent=2) + "\n", f"{file}: two spaces"

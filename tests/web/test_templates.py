"""The templates: each reads only its page and says only what the words say; nothing in them runs or is fetched elsewhere."""

import importlib
import pkgutil
import re
from collections.abc import Iterator
from dataclasses import fields
from html.parser import HTMLParser
from pathlib import Path

import pytest
from jinja2 import meta, nodes

import web.pages
from tests.letters import LONGEST_FILE, LONGEST_TEMPLATE
from web.render import STATIC, TEMPLATES, Page, environment, pages

for _found in pkgutil.iter_modules(web.pages.__path__, "web.pages."):
    importlib.import_module(_found.name)

OURS = {kind: name for kind, name in pages().items() if kind.__module__.startswith("web.")}
ALL = sorted(path.relative_to(TEMPLATES).as_posix() for path in TEMPLATES.rglob("*.html"))
ENHANCE = sorted((STATIC / "enhance").rglob("*.js"))
SHEETS = sorted(STATIC.rglob("*.css"))
SAID = {
    "alt",
    "aria-description",
    "aria-label",
    "aria-placeholder",
    "aria-roledescription",
    "label",
    "placeholder",
    "title",
}
"""Attributes that are read out or shown."""
LETTER = re.compile(r"[^\W\d_]")
SENTENCE = re.compile(r"[^\W\d_] [^\W\d_]")
NOTHING = re.compile(r"(?!)")
HOLE = "\x00"
"""Stands where an expression stood."""


def source(name: str) -> str:
    return (TEMPLATES / name).read_text("utf-8")


def with_holes(text: str) -> str:
    """A template without its expressions, statements and remarks."""
    parts = []
    for _, kind, value in environment().lex(text):
        if kind == "data":
            parts.append(value)
        elif kind == "variable_begin":
            parts.append(f" {HOLE}" if re.search(r"<[a-z0-9]+$", "".join(parts[-1:])) else HOLE)
    return "".join(parts)


class Literal(HTMLParser):
    """Gathers what a template says by itself, and what would run."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.classes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        for name, value in attrs:
            if (LETTER if name in SAID else SENTENCE if name.startswith("data-") else NOTHING).search(value or ""):
                self.found.append(f'{name}="{value}"')
            if name == "style" or name.startswith("on") or (value or "").strip().lower().startswith("javascript:"):
                self.found.append(f"{name} on <{tag}>")
            if name == "class":
                self.classes |= {each for each in (value or "").split() if HOLE not in each}
        if tag in {"style", "base", "iframe", "object", "embed"} or (tag == "script" and "src" not in names):
            self.found.append(f"<{tag}>")

    def handle_data(self, data: str) -> None:
        if LETTER.search(data):
            self.found.append(" ".join(data.split()))


def literal(text: str) -> Literal:
    reader = Literal()
    reader.feed(with_holes(text))
    reader.close()
    return reader


def words_in_expressions(text: str) -> Iterator[str]:
    """Sentences that hide in an expression; keys, names and classes have no space between letters."""
    for each in environment().parse(text).find_all(nodes.Const):
        if isinstance(each.value, str) and SENTENCE.search(each.value):
            yield each.value


def unescaped(text: str) -> Iterator[str]:
    tree = environment().parse(text)
    yield from (f"|{each.name} in line {each.lineno}" for each in tree.find_all(nodes.Filter) if each.name == "safe")
    yield from (f"autoescape in line {each.lineno}" for each in tree.find_all(nodes.ScopedEvalContextModifier))


def family(name: str) -> set[str]:
    """A template with all that it extends, includes and imports."""
    tree = environment().parse(source(name))
    below = {each for each in meta.find_referenced_templates(tree) if each is not None}
    return {name}.union(*(family(each) for each in below))


def reads(name: str) -> set[str]:
    found = {var for each in family(name) for var in meta.find_undeclared_variables(environment().parse(source(each)))}
    return found - environment().globals.keys()


@pytest.mark.parametrize("kind", OURS)
def test_a_template_reads_the_fields_of_its_page_all_of_them_and_nothing_else(kind: type[Page]) -> None:
    assert reads(OURS[kind]) == {each.name for each in fields(kind)}


def test_every_template_belongs_to_a_page_or_to_another_template() -> None:
    used = {each for name in OURS.values() for each in family(name)} | {"_macros.html", "_fields.html"}
    assert used == set(ALL)


@pytest.mark.parametrize("name", ALL)
def test_a_template_says_only_what_the_words_say_and_nothing_in_it_runs(name: str) -> None:
    assert literal(source(name)).found == []
    assert list(words_in_expressions(source(name))) == []
    assert list(unescaped(source(name))) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("<p>Hello</p>", ["Hello"]),
        ('<img alt="a book">', ['alt="a book"']),
        ('<p data-key="n" data-kept="kept here">', ['data-kept="kept here"']),
        ("<p>{{ x }} left</p>", [f"{HOLE} left"]),
        ('<p style="top:0">', ["style on <p>"]),
        ('<a onclick="f()" href="javascript:f()">', ["onclick on <a>", "href on <a>"]),
        ("<script>f()</script>", ["<script>", "f()"]),
        ("<style>p{}</style>", ["<style>", "p{}"]),
        ('{# Hello #}<p class="note" title="{{ x }}">12 &middot; {% if x %}{{ x }}{% endif %}</p>', []),
    ],
)
def test_a_word_in_the_wrong_place_is_found(text: str, found: list[str]) -> None:
    assert literal(text).found == found


def test_a_sentence_in_an_expression_is_found_and_so_is_what_is_not_escaped() -> None:
    assert list(words_in_expressions('{{ m.go("/x", "Go on") }}{{ t("frame.new") }}')) == ["Go on"]
    assert list(unescaped("{{ x|safe }}")) == ["|safe in line 1"]
    assert list(unescaped("{% autoescape false %}{% endautoescape %}")) == ["autoescape in line 1"]


@pytest.mark.parametrize("name", ALL)
def test_a_template_fits_a_few_screens(name: str) -> None:
    assert len(source(name).splitlines()) <= LONGEST_TEMPLATE


def test_every_class_that_a_template_names_is_drawn_somewhere() -> None:
    drawn = {each for path in SHEETS for each in re.findall(r"\.([a-z][\w-]*)", bare(path))}
    lost = {name: missing for name in ALL if (missing := literal(source(name)).classes - drawn)}
    assert lost == {}


def bare(path: Path) -> str:
    """A sheet of styles without its remarks."""
    return re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.DOTALL)


@pytest.mark.parametrize("path", [*SHEETS, *ENHANCE], ids=lambda path: path.name)
def test_a_file_that_the_browser_gets_says_first_what_it_is_for_and_fits_a_few_screens(path: Path) -> None:
    text = path.read_text("utf-8")
    assert text.startswith("/* ")
    assert len(text.splitlines()) < LONGEST_FILE


@pytest.mark.parametrize("path", [*SHEETS, *ENHANCE, *STATIC.rglob("*.svg")], ids=lambda path: path.name)
def test_nothing_is_fetched_from_elsewhere_and_nothing_runs_from_text(path: Path) -> None:
    text = re.sub(r'xmlns="[^"]*"', "", path.read_text("utf-8"))
    assert not re.search(
        r"https?:|data:[a-z]+/|@import|^import |\beval\b|new Function|<script|<style", text, re.MULTILINE
    )
    for address in re.findall(r"url\(([^)#][^)]*)\)", text):
        assert (path.parent / address).is_file(), address


def test_every_font_comes_with_its_licence() -> None:
    families = {re.sub(r"-(\d+|italic|opsz)$", "", font.stem) for font in (STATIC / "fonts").glob("*.woff2")}
    licences = {licence.stem.removeprefix("LICENSE-") for licence in (STATIC / "fonts").glob("LICENSE-*.txt")}
    assert families == licences
    assert families

"""What is told fits what is there: the session in the README runs, and every name a reader meets is explained."""

import ast
import importlib
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import fields
from functools import cache
from pathlib import Path

import pytest
import typer
from fastapi.routing import APIRoute

from api.app import ROUTERS
from api.errors import FAILURES
from ledger.events import KINDS, Scope
from ledger.settings import PREFIX, Settings
from web import cli
from web.pages.errors import FAILINGS

ROOT = Path(__file__).resolve().parent.parent
README, DEVELOPERS = ROOT / "README.md", ROOT / "DEVELOPERS.md"
PAGES = [
    README,
    DEVELOPERS,
    ROOT / "ledger/proof/FORMAT.md",
    ROOT / "ledger/archive/ARCHIVE.md",
    ROOT / "tests/vectors/SOURCES.md",
]
DASH = "\u2013"
SPEAKS_OF = {Scope.BOOK: "one book", Scope.COLLECTION: "the collection", Scope.EITHER: "either"}


@cache
def text(page: Path) -> str:
    return page.read_text("utf-8")


def section(title: str) -> str:
    """A section of the developers' page, without those that follow it."""
    return text(DEVELOPERS).split(f"\n## {title}\n")[1].split("\n## ")[0]


def rows(words: str) -> list[list[str]]:
    """Cells of the tables in a text, without heads and rules."""
    lines = [line.strip() for line in words.splitlines() if line.startswith("|")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    heads = {index - 1 for index, row in enumerate(cells) if set("".join(row)) == {"-"}}
    return [row for index, row in enumerate(cells) if index not in heads and index - 1 not in heads]


def coded(words: str) -> list[str]:
    """What stands between backticks."""
    return re.findall(r"`([^`]+)`", words)


def session() -> str:
    (found,) = re.findall(r"```python\n(.*?)```", text(README), re.DOTALL)
    return str(found)


def test_the_session_has_ten_lines_and_public_names_only() -> None:
    lines = session().splitlines()
    assert len(lines) == 10
    assert max(map(len, lines)) <= 120
    assert not re.search(r"(^|[.\s])_\w", session())


def test_the_session_runs_as_it_stands(tmp_path: Path) -> None:
    command = [sys.executable, "-c", session()]
    surroundings = {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "PATH": ""}
    for books in (1, 2):
        ran = subprocess.run(
            command, cwd=tmp_path, env=surroundings, capture_output=True, encoding="utf-8", check=False
        )
        assert (ran.returncode, ran.stderr) == (0, "")
        lines = ran.stdout.splitlines()
        assert lines[0].endswith(".slipsheet.invalid")
        assert lines[1] == str(books + 1)
        assert lines[3].startswith(f"heads {books} ")
        assert lines[-1] == "True"
    assert {path.name for path in tmp_path.iterdir()} == {"my-books", "my-keys"}


def commands() -> Mapping[str, list[str]]:
    """Every command with its options; one of a group by both names."""
    return dict(commands_in(typer.main.get_command(cli.app), ""))


def commands_in(group: object, before: str) -> Iterator[tuple[str, list[str]]]:
    assert isinstance(group, typer.core.TyperGroup)
    for name, command in group.commands.items():
        if isinstance(command, typer.core.TyperGroup):
            yield from commands_in(command, f"{before}{name} ")
        else:
            options = [option for each in command.params for option in each.opts if option.startswith("--")]
            yield f"{before}{name}", options


def test_every_command_stands_in_the_readme_and_no_other() -> None:
    told = [coded(row[0])[0] for row in rows(text(README))]
    assert told == [f"slipsheet {name}" for name in commands()]


def test_every_option_of_every_command_is_explained() -> None:
    settings, options = (rows(part) for part in section("Settings and options").split("\n\n| option"))
    by_row = [([each.split()[0] for each in coded(row[0])], coded(row[1])) for row in options]
    told = {name for names, _ in by_row for name in names} | {name for row in settings for name in coded(row[1])}
    there = {option for each in commands().values() for option in each}
    assert told == there - {"--help"}
    for names, of in by_row:
        assert of == [name for name, each in commands().items() if {*names} & {*each}]


def test_every_setting_stands_in_the_table_with_its_default_and_its_own_words() -> None:
    told = {coded(row[0])[0]: row for row in rows(section("Settings and options")) if PREFIX in row[0]}
    assert list(told) == [f"{PREFIX}{each.name.upper()}" for each in fields(Settings)]
    for each in fields(Settings):
        row = told[f"{PREFIX}{each.name.upper()}"]
        assert row[3] == each.metadata["help"]
        if each.name in ("host", "port"):
            assert coded(row[2]) == [str(each.default)]


def test_every_kind_stands_in_the_table_and_no_other() -> None:
    told = {coded(row[0])[0]: row for row in rows(section("Kinds"))}
    assert list(told) == list(KINDS)
    for name, (_, lane, speaks_of, says) in told.items():
        assert (lane, speaks_of) == (KINDS[name].lane.value, SPEAKS_OF[KINDS[name].scope])
        assert says


def errors() -> Iterator[type[Exception]]:
    """Every error class of the program."""
    for place in ("ledger", "api", "web", "seeds"):
        for path in sorted((ROOT / place).rglob("*.py")):
            for node in ast.parse(path.read_text("utf-8")).body:
                if isinstance(node, ast.ClassDef) and node.name.endswith("Error"):
                    module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
                    yield getattr(importlib.import_module(module), node.name)


def answered(error: type[Exception], door: str) -> str:
    """The status with which the service or a page answers an error, and a dash where it has no line."""
    if door == "web":
        return next((str(FAILINGS[each].status) for each in error.__mro__ if each in FAILINGS), DASH)
    return next((str(FAILURES[each].status) for each in error.__mro__ if each in FAILURES), DASH)


def test_every_error_stands_in_the_table_with_its_answers() -> None:
    told = {name: row for row in rows(section("Errors")) for name in coded(row[0])}
    there = list(errors())
    assert set(told) == {each.__name__ for each in there}
    for each in there:
        _, when, service, page = told[each.__name__]
        assert when
        place = each.__module__.partition(".")[0]
        if place != "web":
            assert service == answered(each, "api"), each
        if place != "api":
            assert page == answered(each, "web"), each


def test_every_route_stands_in_the_table_and_no_other() -> None:
    told = [route for row in rows(section("Routes")) for route in coded(row[0])]
    routes = [route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute)]
    there = [f"{method} {route.path}" for route in routes for method in route.methods or ()]
    assert sorted(told) == sorted(there)


def test_every_place_that_is_named_is_there() -> None:
    named = [name for row in rows(section("Where is …?")) for name in coded(row[1])]
    paths = [name for name in named if "/" in name and " " not in name]
    assert len(paths) > 25
    assert [name for name in paths if not (ROOT / name).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_inside_the_project_lead_somewhere(page: Path) -> None:
    links = re.findall(r"\]\(([^)\s]+)\)", text(page))
    for link in links:
        if link.startswith(("https://", "http://")):
            continue
        path, _, anchor = link.partition("#")
        there = page.parent / path if path else page
        assert there.is_file(), link
        if anchor:
            heads = re.findall(r"^#+ (.+)$", text(there), re.MULTILINE)
            assert anchor in {re.sub(r"[^\w -]", "", head.lower()).replace(" ", "-") for head in heads}, link


def test_the_developers_page_stays_short_enough_to_be_read() -> None:
    assert len(text(DEVELOPERS).splitlines()) < 220

"""The house rules that no linter knows: who may import whom, what the core never reads, how long a thing may get."""

import ast
import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatch
from functools import cached_property
from pathlib import Path

import pytest

from tests import letters
from tests.letters import ALSO, LETTERS

ROOT = Path(__file__).resolve().parent.parent
OURS = {"ledger", "api", "web", "seeds", "tests"}
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Source:
    """A file of the project: its path from the root, and its text."""

    path: str
    text: str

    @cached_property
    def tree(self) -> list[ast.AST]:
        """Every node of it, the module first; empty for what is not Python."""
        return list(ast.walk(ast.parse(self.text))) if self.path.endswith(".py") else []

    @property
    def letter(self) -> str:
        """The letter of the place where it lies."""
        return letter_at(self.path)

    @property
    def module(self) -> str:
        """Its name to those who import it."""
        return self.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")

    @property
    def package(self) -> list[str]:
        """Where its relative imports start."""
        parts = self.module.split(".")
        return parts if self.path.endswith("/__init__.py") else parts[:-1]

    def at(self, node: ast.stmt | ast.expr) -> str:
        """A place in it, as editors open it."""
        return f"{self.path}:{node.lineno}"


def letter_at(path: str) -> str:
    """The letter of a place, empty where no Python file belongs."""
    return next((letter for place, letter in letters.PLACES if fnmatch(path, place)), "")


def project_files() -> list[Source]:
    """What git holds or would hold; in an unpacked archive, what is neither hidden nor made by running."""
    listing = ["git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        names = subprocess.run(listing, cwd=ROOT, capture_output=True, check=True, text=True).stdout.split("\0")
    except (OSError, subprocess.CalledProcessError):
        made = re.compile(r"(^|/)(\.(?!ci/)|__pycache__/|build/|dist/)")
        names = [name for path in ROOT.rglob("*") if not made.search(name := path.relative_to(ROOT).as_posix())]
    paths = [(name, ROOT / name) for name in sorted(filter(None, names))]
    return [Source(name, path.read_text("utf-8", "replace")) for name, path in paths if path.is_file()]


FILES = project_files()
MODULES = {source.module: source.letter for source in FILES if source.path.endswith(".py")}


def imports(source: Source) -> Iterator[tuple[str, str]]:
    """Every module imported anywhere in a file, a submodule by its own name, and the place."""
    for node in source.tree:
        if isinstance(node, ast.Import):
            yield from ((source.at(node), alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = source.package[: len(source.package) - node.level + 1] if node.level else []
            start = ".".join([*above, *filter(None, [node.module])])
            inner = {f"{start}.{alias.name}" for alias in node.names}
            yield from ((source.at(node), name) for name in sorted(inner & MODULES.keys()) or [start])


def beyond_its_letter(source: Source) -> Iterator[str]:
    """A file imports only what the letter of its place says."""
    if not source.tree:
        return
    if source.letter not in LETTERS:
        yield f"{source.path}: no letter for this place"
        return
    letter, also = LETTERS[source.letter], ALSO.get(source.path, set())
    for place, name in imports(source):
        top = name.partition(".")[0]
        if top in OURS:
            theirs = MODULES.get(name) or letter_at(f"{name.replace('.', '/')}.py")
            fine = bool(theirs) and theirs in letter.inside
        else:
            fine = letter.outside is None or top in letter.outside | sys.stdlib_module_names
        if not fine and not {name, top} & also:
            yield f"{place}: {source.letter} may not import {name}"


def through_a_wall(source: Source) -> Iterator[str]:
    """Some places never meet, whatever their letters say."""
    for place, name in imports(source):
        for here, there, door in letters.WALLS:
            if fnmatch(source.path, here) and f"{name}.".startswith(f"{there}.") and source.path != door:
                yield f"{place}: {here} never imports {there}"


def adapters_of_many_libraries(source: Source) -> Iterator[str]:
    """An adapter stands before one outside library, and none of those that others stand before."""
    if source.letter == "X":
        tops = {name.partition(".")[0] for _, name in imports(source)} - OURS - sys.stdlib_module_names
        tops -= {other for name in tops for other in letters.COMES_WITH.get(name, ())}
        tops -= {plugin for plugin, of in letters.PLUGINS.items() if of in tops}
        if len(tops) > 1 or tops & letters.FRAMEWORKS:
            yield f"{source.path}: an adapter of {', '.join(sorted(tops))}"


def core_reading_the_world(source: Source) -> Iterator[str]:
    """The core is told the time, and reads no chance, environment, file or socket."""
    if not source.letter or source.letter not in letters.CORE:
        return
    excused = letters.EXCUSED.get(source.path, set())
    for place, name in imports(source):
        parts = {name, name.partition(".")[0]}
        if parts & letters.NOT_FOR_THE_CORE and not parts & excused:
            yield f"{place}: the core imports {name}"
    for node in source.tree:
        if isinstance(node, ast.Attribute):
            name, forbidden = node.attr, letters.NOT_TO_REACH_FOR
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            name, forbidden = node.func.id, letters.NOT_TO_CALL | letters.NOT_TO_REACH_FOR
        else:
            continue
        if name in forbidden - excused:
            yield f"{source.at(node)}: the core uses {name}"


def a_day_of_its_own(source: Source) -> Iterator[str]:
    """The day is asked of the clock, which knows where it is: a day cut from its time would be one in UTC."""
    if source.letter != "X" and not source.path.startswith("tests/") and source.path not in letters.DAYS_IN_UTC:
        for number, line in enumerate(source.text.splitlines(), start=1):
            if letters.DAY_OF_NOW.search(line):
                yield f"{source.path}:{number}: ask the clock for today"


def too_long(source: Source) -> Iterator[str]:
    """What does not fit a few screens is read by nobody."""
    lines = len(source.text.splitlines())
    longest = letters.LONGEST_FILE if source.path.endswith(".py") else letters.LONGEST_TEMPLATE
    if source.path.endswith((".py", ".html")) and lines > longest:
        yield f"{source.path}: {lines} lines, at most {longest}"
    for node in source.tree:
        if isinstance(node, Function):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            told = source.path.startswith("seeds/story/")
            most = letters.LONGEST_TELLING if told else letters.LONGEST_FUNCTION
            if lines > most:
                yield f"{source.at(node)}: {node.name} has {lines} lines, at most {most}"


def without_a_docstring(source: Source) -> Iterator[str]:
    """Modules, public classes and public functions say what they are; the name of a test is its sentence."""
    if not source.tree:
        return
    module = source.tree[0]
    assert isinstance(module, ast.Module)
    if not ast.get_docstring(module):
        yield f"{source.path}: the module has no docstring"
    waiting: list[ast.Module | ast.ClassDef] = [module]
    while waiting:
        for node in waiting.pop().body:
            if not isinstance(node, ast.ClassDef | Function) or node.name.startswith("_"):
                continue
            if isinstance(node, ast.ClassDef):
                waiting.append(node)
            elif source.letter == "T" or any(ast.unparse(each) == "overload" for each in node.decorator_list):
                continue
            elif [ast.unparse(each) for each in node.body] == ["..."]:
                continue  # a port's method; what it promises stands in the docstring of its class
            if not ast.get_docstring(node):
                yield f"{source.at(node)}: {node.name} has no docstring"


def naming_what_is_not_the_projects(source: Source) -> Iterator[str]:
    """Nothing points at a registry's host, at a folder of one machine, or at notes that do not come along."""
    for number, line in enumerate(source.text.splitlines(), start=1):
        yield from (
            f"{source.path}:{number}: {found[0]}" for each in letters.NEVER_NAMED if (found := re.search(each, line))
        )


CHECKS: Sequence[Callable[[Source], Iterator[str]]] = (
    beyond_its_letter,
    through_a_wall,
    adapters_of_many_libraries,
    core_reading_the_world,
    a_day_of_its_own,
    too_long,
    without_a_docstring,
    naming_what_is_not_the_projects,
)


@pytest.mark.parametrize("check", CHECKS)
def test_the_whole_house_keeps_the_rule(check: Callable[[Source], Iterator[str]]) -> None:
    offenders = [offender for source in FILES for offender in check(source)]
    assert not offenders, "\n".join([check.__doc__ or "", *offenders])


def test_the_house_was_looked_at() -> None:
    assert {source.letter for source in FILES} >= set("QPUSXAWEDT")
    assert ".ci/run" in {source.path for source in FILES}


@pytest.mark.parametrize(
    ("check", "path", "text", "found"),
    [
        (beyond_its_letter, "ledger/money.py", "import sqlmodel", ":1: P may not import sqlmodel"),
        (
            beyond_its_letter,
            "ledger/proof/merkle.py",
            "from ledger.errors import X",
            ":1: Q may not import ledger.errors",
        ),
        (beyond_its_letter, "ledger/proof/chain.py", "import cryptography", ":1: Q may not import cryptography"),
        (beyond_its_letter, "ledger/usecases/sell.py", "from ledger import store", ":1: U may not import ledger.store"),
        (beyond_its_letter, "ledger/events/x.py", "from .. import store", ":1: P may not import ledger.store"),
        (beyond_its_letter, "ledger/events/x.py", "from ..store.new import x", ":1: P may not import ledger.store.new"),
        (beyond_its_letter, "api/app.py", "def f():\n import jinja2", ":2: A may not import jinja2"),
        (beyond_its_letter, "web/pages/wall.py", "import ledger.adapters", ":1: W may not import ledger.adapters"),
        (beyond_its_letter, "web/environment.py", "import typer", ":1: E may not import typer"),
        (beyond_its_letter, "tools/x.py", "", ": no letter for this place"),
        (through_a_wall, "ledger/adapters/x.py", "import fastapi.routing", ":1: ledger/* never imports fastapi"),
        (
            through_a_wall,
            "ledger/rules/x.py",
            "from ledger.ports import Log",
            ":1: ledger/rules/* never imports ledger.ports",
        ),
        (through_a_wall, "api/app.py", "import web", ":1: api/* never imports web"),
        (through_a_wall, "web/render.py", "from api import routes", ":1: web/* never imports api"),
        (adapters_of_many_libraries, "ledger/adapters/x.py", "import PIL, typst", ": an adapter of PIL, typst"),
        (adapters_of_many_libraries, "ledger/adapters/x.py", "import sqlalchemy", ": an adapter of sqlalchemy"),
        (core_reading_the_world, "ledger/when.py", "import os.path", ":1: the core imports os.path"),
        (core_reading_the_world, "ledger/rules/care.py", "from time import time", ":1: the core imports time"),
        (core_reading_the_world, "ledger/when.py", "x = datetime.now(UTC)", ":1: the core uses now"),
        (core_reading_the_world, "ledger/when.py", "f(default=date.today)", ":1: the core uses today"),
        (a_day_of_its_own, "ledger/usecases/care.py", "x = ledger.clock.now().date()", ":1: ask the clock for today"),
        (a_day_of_its_own, "web/forms.py", "x = now.astimezone().date()", ":1: ask the clock for today"),
        (core_reading_the_world, "ledger/proof/chain.py", "open('x')", ":1: the core uses open"),
        (core_reading_the_world, "ledger/rules/_tables.py", "open('x')", ":1: the core uses open"),
        (too_long, "ledger/book.py", "\n" * 301, ": 301 lines, at most 300"),
        (too_long, "web/templates/wall.html", "\n" * 150, ": 150 lines, at most 149"),
        (too_long, "api/app.py", "def f():\n def g():\n  1\n" + "  2\n" * 38, ":1: f has 41 lines, at most 40"),
        (without_a_docstring, "api/app.py", "", ": the module has no docstring"),
        (without_a_docstring, "api/app.py", '"."\nclass A:\n "."\n def b(self): 1', ":4: b has no docstring"),
        (without_a_docstring, "tests/x.py", '"."\nclass A: 1', ":2: A has no docstring"),
        (naming_what_is_not_the_projects, "README.md", "\ncd {}work/main".format("/"), ":2: {}work/".format("/")),
        (naming_what_is_not_the_projects, "README.md", "(see shared{}X)".format("/"), ":1: shared{}".format("/")),
        (naming_what_is_not_the_projects, "a.lock", "https://pypi{}org/".format("."), ":1: pypi{}org".format(".")),
    ],
)
def test_a_rule_finds_who_breaks_it(check: Callable[[Source], Iterator[str]], path: str, text: str, found: str) -> None:
    assert list(check(Source(path, text))) == [path + found]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("ledger/proof/signature.py", "import cryptography.hazmat, hashlib"),
        ("ledger/proof/reading.py", "from pathlib import Path\nPath('record.json').read_bytes()"),
        ("web/app.py", "from api.app import create_api"),
        ("ledger/adapters/pictures.py", "import io\nfrom PIL import Image\nfrom ledger.errors import LedgerError"),
        ("web/templates/wall.html", "\n" * 149),
    ],
)
def test_what_the_rules_allow_is_let_by(path: str, text: str) -> None:
    source = Source(path, text)
    rules = [beyond_its_letter, through_a_wall, adapters_of_many_libraries, core_reading_the_world, too_long]
    assert [offender for check in rules for offender in check(source)] == []

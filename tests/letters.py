"""The letters of the house as data: where a file lies says what it may import, and what the core never reads."""

import re
from dataclasses import dataclass

# First match wins; * matches folders too.
PLACES = (
    ("ledger/proof/*.py", "Q"),
    ("ledger/usecases/*.py", "U"),
    ("ledger/store/*.py", "S"),
    ("ledger/adapters/*.py", "X"),
    ("ledger/bootstrap.py", "B"),
    ("ledger/keeping/*.py", "K"),
    ("ledger/*.py", "P"),
    ("api/*.py", "A"),
    ("web/cli.py", "C"),
    ("web/commands/*.py", "C"),
    ("web/__main__.py", "E"),
    ("web/environment.py", "E"),
    ("web/oldest.py", "E"),
    ("web/setup_errors.py", "E"),
    ("web/*.py", "W"),
    ("seeds/*.py", "D"),
    ("tests/__main__.py", "E"),
    ("tests/*.py", "T"),
)


@dataclass(frozen=True)
class Letter:
    """What a file may import besides the standard library.

    `inside` lists the letters of the project's own modules, `outside` the packages that are not the project's.
    """

    says: str
    inside: str
    outside: frozenset[str] | None
    """None: any."""


STORE = frozenset({"sqlmodel", "sqlalchemy", "alembic", "pydantic"})
API = frozenset({"fastapi", "pydantic"})
ALL = "QPUSXBKAWCEDT"

LETTERS = {
    "Q": Letter("the proofs, which a stranger can run alone", "Q", frozenset({"rfc8785"})),
    "P": Letter("the core: events, rules, the state of a book", "PQ", frozenset()),
    "U": Letter("the use cases", "PQU", frozenset()),
    "S": Letter("the store", "PQS", STORE),
    "X": Letter("an adapter: one outside library behind a port", "PQX", None),
    "B": Letter("the one place that joins all of the ledger", "PQUSXB", frozenset()),
    "K": Letter("keeping a ledger safe: joins store and files, for the command alone", "PQUSXBK", frozenset()),
    "A": Letter("the API", "PQUBA", API | {"starlette"}),
    "W": Letter("the pages", "PQUBW", API | {"jinja2", "starlette", "uvicorn", "limits", "itsdangerous"}),
    "C": Letter("the command", ALL, None),
    "E": Letter("the start, before anything is installed", "E", frozenset()),
    "D": Letter("the demo: calls to use cases, covers drawn by code", "PQUBD", frozenset({"PIL"})),
    "T": Letter("the tests", ALL, None),
}

# One file, and what it may import beyond its letter.
ALSO = {
    "ledger/proof/signature.py": {"cryptography"},
    "web/app.py": {"api.app", "api.heads"},
    "web/logs.py": {"structlog", "ledger.adapters.folders"},
}

# A library, and what it speaks in: its arrays, pictures, or certificates, are another's.
COMES_WITH = {"cv2": {"numpy"}, "zxingcpp": {"PIL"}, "rfc3161_client": {"cryptography"}}
# A library that only adds to another, and which; it counts as that one.
PLUGINS = {"pillow_heif": "PIL"}

# What an adapter's outside library can never be.
FRAMEWORKS = STORE | API | {"starlette", "jinja2", "typer", "uvicorn"}

# A place, what it never imports whatever its letter says, and the one file with a door in the wall.
WALLS = (
    ("ledger/*", "fastapi", ""),
    ("ledger/*", "jinja2", ""),
    ("ledger/events/*", "ledger.ports", ""),
    ("ledger/rules/*", "ledger.ports", ""),
    ("api/*", "web", ""),
    ("web/*", "api", "web/app.py"),
)

# The core (P and Q) reads no clock, chance, environment, file or socket: not through these modules …
CORE = "PQ"
NOT_FOR_THE_CORE = {
    "asyncio",
    "glob",
    "http",
    "importlib",
    "os",
    "pathlib",
    "pkgutil",
    "platform",
    "random",
    "secrets",
    "shutil",
} | {"socket", "sqlite3", "ssl", "subprocess", "sys", "tempfile", "time", "urllib.request"}
# … nor through these names, called or handed on as an attribute …
NOT_TO_CALL = {"__import__", "breakpoint", "input", "open"}
NOT_TO_REACH_FOR = {"now", "utcnow", "today", "uuid1", "uuid4", "urandom"} | {
    "read_text",
    "read_bytes",
    "write_text",
    "write_bytes",
}
# … but for these.
EXCUSED = {
    "ledger/events/__init__.py": {"importlib", "pkgutil"},  # lists its own folder
    "ledger/rules/_tables.py": {"pathlib", "read_text"},  # reads the tables beside it
    "ledger/proof/eight.py": {"pathlib", "read_text"},  # reads the words beside it
    "ledger/proof/page.py": {"pathlib", "read_text"},  # reads style and script of a page beside it
    "ledger/saying/wording.py": {"pathlib", "read_text"},  # reads the words beside it
    "ledger/proof/reading.py": {"pathlib", "read_bytes"},  # reads the file it is given
    "ledger/proof/__main__.py": {"sys", "pathlib"},  # takes a path and tells the verdict
}

# The day is asked of the clock …
DAY_OF_NOW = re.compile(r"\bnow(?:\(\))?(?:\.astimezone\(\))?\.date\(\)")
# … but for these.
DAYS_IN_UTC = {
    "ledger/usecases/ahead.py",  # a day more than in UTC has begun nowhere
    "web/pages/daybook.py",  # recording is told in UTC
    "web/bench_lines.py",  # tells a moment that it is given
    "seeds/fixed.py",  # is a clock
}

# No file names a registry's host, a folder of one machine, or notes that do not come with the project. The brackets
# keep these very lines from being found.
NEVER_NAMED = (
    "pypi[.]org",
    "files[.]pythonhosted",
    "registry[.]npmjs",
    "deb[.]debian",
    r"(?<!\w)[/]root/",
    r"(?<!\w)[/]home/",
    r"(?<!\w)[/]work/",
    r"(?<![\w-])shared[/]",
)

# Lines; a template stays one shorter than a round number, so "under 150".
LONGEST_FILE = 300
LONGEST_FUNCTION = 40
LONGEST_TELLING = 110
"""A book's story in the demo is told in one piece, call after call."""
LONGEST_TEMPLATE = 149

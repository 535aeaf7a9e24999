"""From the command to the first page that answers, beside the same Python that only imports the libraries."""

import http.client
import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

from ledger.bootstrap import open_ledger
from ledger.settings import Settings
from tests.bench.measuring import Ratio, compared

LIBRARIES = (
    *(
        "alembic.command",
        "argon2",
        "cryptography.hazmat.primitives.asymmetric.ed25519",
        "fastapi",
        "itsdangerous",
        "jinja2",
    ),
    *(
        "limits.strategies",
        "PIL.Image",
        "PIL.ImageCms",
        "platformdirs",
        "pydantic",
        "rfc8785",
        "sqlalchemy",
        "sqlmodel",
    ),
    *("starlette.middleware", "typer", "uvicorn"),
)
TIMES = 7


def ratios() -> Iterator[Ratio]:
    """The start of a collection that is there, its page before signing in."""
    with tempfile.TemporaryDirectory() as place:
        folder, keys = str(Path(place) / "data"), str(Path(place) / "keys")
        with open_ledger(Settings(folder=folder, keys=keys)):
            pass
        ours, theirs = compared(lambda: first_page(folder, keys), imports, times=TIMES)
    reference = "importing the libraries alone"
    yield Ratio(what="start to first page", ours=ours, reference=reference, theirs=theirs, unit="ms", goal=1.3)


def first_page(folder: str, keys: str) -> None:
    """Starts the program, waits for its line, asks for the page, and ends it."""
    command = [sys.executable, "-m", "web.cli", "serve", "--json", "--port", "0", "--folder", folder, "--keys", keys]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        told = urlsplit(json.loads(process.stdout.readline())["url"])
        connection = http.client.HTTPConnection(str(told.hostname), told.port, timeout=30)
        connection.request("GET", "/sign-in")
        answer = connection.getresponse()
        assert (answer.status, bool(answer.read())) == (200, True)
        connection.close()
        # The page is there; what ends the program is not what is timed, so it is ended at once.
        process.kill()


def imports() -> None:
    """The same Python, importing what the program is made of and nothing of the program."""
    subprocess.run([sys.executable, "-c", f"import {', '.join(LIBRARIES)}"], check=True)

"""One event loop for all requests of a test process, as the program has one; a client makes one anew for each request."""

from collections.abc import Iterator

import pytest
from anyio.from_thread import start_blocking_portal
from fastapi.testclient import TestClient


@pytest.fixture(scope="session", autouse=True)
def one_loop() -> Iterator[None]:
    """Starting a loop and its threads takes longer than many an answer."""
    with start_blocking_portal() as portal, pytest.MonkeyPatch.context() as patched:
        patched.setattr(TestClient, "portal", portal)
        yield

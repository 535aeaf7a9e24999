"""The head of every page and file is the same as with the body. Source: RFC 9110 section 9.3.2."""

from collections.abc import Iterator

import pytest

from tests.web.browser import Browser, Home
from tests.web.conftest import a_home
from tests.web.test_guards import READING, filled

NEVER_THE_SAME = {"content-length", "set-cookie", "retry-after"}
"""A page may hold a fresh key for its form, and say something once; how long to wait runs down between two answers."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    """One for all of them: looking changes nothing."""
    with a_home(tmp_path_factory.mktemp("home")) as home:
        yield home


@pytest.fixture(scope="module")
def signed_in(home: Home) -> Browser:
    return home.browser().sign_in()


@pytest.fixture
def visitor(home: Home) -> Browser:
    return home.browser()


@pytest.mark.parametrize("path", [*READING, "/nowhere", "/static/base.css", "/static/nothing.css", "/api/v1/health"])
@pytest.mark.parametrize("inside", [True, False])
def test_a_page_has_a_head(signed_in: Browser, visitor: Browser, path: str, *, inside: bool) -> None:
    browser = signed_in if inside else visitor
    whole = browser.get(filled(path))
    head = browser.client.head(filled(path), headers={"Sec-Fetch-Site": "same-origin"})
    assert (head.status_code, head.content) == (whole.status_code, b"")
    kept = [
        {name: value for name, value in each.headers.items() if name not in NEVER_THE_SAME} for each in (head, whole)
    ]
    assert kept[0] == kept[1]


def test_a_head_of_the_service_asks_for_its_token(signed_in: Browser) -> None:
    assert signed_in.client.head("/api/v1/books").status_code == 401


def test_a_head_to_another_name_is_refused_without_a_word(visitor: Browser) -> None:
    answer = visitor.client.head("/collection", headers={"Host": "rebound.example"})
    assert (answer.status_code, answer.content) == (421, b"")


@pytest.mark.parametrize(
    ("path", "allowed"),
    [("/keys", "GET, HEAD"), ("/settings", "GET, HEAD, POST"), ("/sign-out", "POST"), ("/collection", "GET, HEAD")],
)
def test_an_address_that_does_not_take_a_method_says_which_it_takes(
    signed_in: Browser, path: str, allowed: str
) -> None:
    # RFC 9110 section 15.5.6: a 405 lists the methods in Allow.
    answer = signed_in.send("PUT", path)
    assert (answer.status_code, answer.headers["allow"]) == (405, allowed)

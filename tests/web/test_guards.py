"""Every way to change something, held against every way that must not work; made from the pages' own route table."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from fastapi import Request
from fastapi.routing import APIRoute

from ledger.store.account_tables import ACCOUNTS
from ledger.store.accounts import SqlAccounts
from ledger.store.tables import KEPT
from tests.conftest import COLLECTION
from tests.web.browser import COOKIE, HOST, Browser, Home, form_to
from tests.web.conftest import a_home
from web.app import routes
from web.guards import BODY_MOST, HEADERS, SAFE, headers_at, is_from_here
from web.pages import OPEN, ROUTERS


def methods_of(route: APIRoute) -> set[str]:
    return route.methods or set()


UNSAFE = sorted({(method, route.path) for route in routes() for method in methods_of(route) - SAFE})
ASKING_FIRST = sorted({(method, route.path) for route in routes(ROUTERS) for method in methods_of(route) - SAFE})
READING = sorted({route.path for route in routes() if "GET" in methods_of(route)})
CLOSED = sorted({route.path for route in routes(ROUTERS) if "GET" in methods_of(route)})
ELSEWHERE = "https://elsewhere.example"

FOREIGN = {
    "another site": {"Sec_Fetch_Site": "cross-site"},
    "a neighbour under the same name": {"Sec_Fetch_Site": "same-site"},
    "two answers at once": {"Sec_Fetch_Site": "same-origin, cross-site"},
    "a foreign origin": {"Sec_Fetch_Site": "", "Origin": ELSEWHERE},
    "another port": {"Sec_Fetch_Site": "", "Origin": "http://localhost:1"},
    "a name that begins the same": {"Sec_Fetch_Site": "", "Origin": f"http://{HOST}.elsewhere.example"},
    "an origin that is hidden": {"Sec_Fetch_Site": "", "Origin": "null"},
    "no word of where from": {"Sec_Fetch_Site": "", "Origin": "", "Referer": ""},
    "only a referrer": {"Sec_Fetch_Site": "", "Origin": ""},
}
HOSTS = {
    "a name pointed here": "rebound.example",
    "ours with something before": "x.localhost",
    "ours with something behind": "localhost.elsewhere.example",
    "nothing": "",
    "two names": "localhost, elsewhere.example",
}


def filled(path: str) -> str:
    """The path with something in the place of every name."""
    return re.sub(r"\{[^}]*\}", "1", path)


def state_of(home: Home) -> list[Any]:
    """All that a request could have changed."""
    store = home.accounts.store
    assert isinstance(store, SqlAccounts)
    with store._store.snapshot(COLLECTION) as connection:
        return [list(connection.execute(table.select())) for table in (*ACCOUNTS, *KEPT)]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    """One for all of them: nothing here changes anything."""
    with a_home(tmp_path_factory.mktemp("home")) as home:
        yield home


@pytest.fixture(scope="module")
def signed_in(home: Home) -> Browser:
    return home.browser().sign_in()


@pytest.fixture
def unchanged(home: Home, signed_in: Browser) -> Iterator[None]:
    """The test fails when it changed anything."""
    before = state_of(home)
    yield
    assert state_of(home) == before


def test_the_table_was_looked_at() -> None:
    assert {("POST", "/sign-in"), ("POST", "/sign-out"), ("POST", "/settings")} <= set(UNSAFE)
    assert {route.path for route in routes(OPEN)}.isdisjoint(CLOSED)


@pytest.mark.usefixtures("unchanged")
@pytest.mark.parametrize("sent", FOREIGN.values(), ids=FOREIGN)
@pytest.mark.parametrize(("method", "path"), UNSAFE)
def test_what_another_site_sends_changes_nothing(
    signed_in: Browser, method: str, path: str, sent: dict[str, str]
) -> None:
    signed_in.page = "/settings"
    answer = signed_in.send(method, filled(path), {"label": "x", "password": "x"}, **sent)
    # The page at a secret address asks browsers to hide it, and its form only looks; here the address is a wrong one.
    hidden = path == "/handed/{secret}/held" and sent == FOREIGN["an origin that is hidden"]
    assert answer.status_code == (404 if hidden else 403)
    assert "set-cookie" not in answer.headers


@pytest.mark.usefixtures("unchanged")
@pytest.mark.parametrize("host", HOSTS.values(), ids=HOSTS)
@pytest.mark.parametrize(
    ("method", "path"), [*UNSAFE, *(("GET", path) for path in READING), ("GET", "/static/base.css")]
)
def test_to_a_name_that_is_not_this_servers_nothing_is_said(
    signed_in: Browser, method: str, path: str, host: str
) -> None:
    sent = {"Origin": f"http://{host}"}
    answer = signed_in.client.request(method, filled(path), headers={**sent, "Host": host})
    assert answer.status_code == 421
    assert answer.text == "This server answers to 127.0.0.1, localhost and to no other name.\n"


@pytest.mark.usefixtures("unchanged")
@pytest.mark.parametrize("secret", [None, "x" * 43])
@pytest.mark.parametrize(("method", "path"), ASKING_FIRST)
def test_without_a_session_a_change_leads_to_the_sign_in_page(
    home: Home, method: str, path: str, secret: str | None
) -> None:
    browser = home.browser()
    if secret:
        browser.client.cookies.set(COOKIE, secret, domain="localhost.local")
    answer = browser.send(method, filled(path))
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in?next=")


@pytest.mark.usefixtures("unchanged")
@pytest.mark.parametrize("path", CLOSED)
def test_without_a_session_a_page_leads_to_the_sign_in_page_and_back(home: Home, path: str) -> None:
    answer = home.browser().get(filled(path))
    assert answer.status_code == 303
    assert form_to(home.browser().follow(answer), "/sign-in").fields["next"] == filled(path)


@pytest.mark.usefixtures("unchanged")
@pytest.mark.parametrize("path", READING)
def test_a_session_that_ended_shows_nothing_more(home: Home, path: str) -> None:
    browser = home.browser()
    browser.client.cookies.set(COOKIE, "x" * 43, domain="localhost.local")
    answer = browser.get(filled(path))
    assert answer.status_code in {303, 410} or "Ledger:" not in answer.text


@pytest.mark.parametrize("path", [*READING, "/nowhere", "/static/base.css", "/sign-in/wrong"])
def test_looking_changes_nothing(home: Home, signed_in: Browser, path: str) -> None:
    before = state_of(home)
    answer = signed_in.get(filled(path))
    assert answer.status_code < 500
    assert state_of(home) == before


@pytest.mark.parametrize("path", [*READING, "/nowhere", "/static/base.css", "/static/nothing.css", "/wall"])
@pytest.mark.parametrize("inside", [True, False])
def test_every_answer_carries_the_headers(home: Home, signed_in: Browser, path: str, *, inside: bool) -> None:
    answer = (signed_in if inside else home.browser()).get(filled(path))
    for name, value in headers_at(path).items():
        if name != "Cache-Control" or not path.startswith("/static/"):
            assert answer.headers[name] == value, name


def test_the_policy_lets_a_page_load_its_own_files_and_nothing_else() -> None:
    # CSP Level 3 section 6: a directive that is not named falls back on default-src, save form-action, frame-ancestors
    # and base-uri, which have no fallback and must be named.
    found = dict(part.strip().split(" ", 1) for part in HEADERS["Content-Security-Policy"].split(";"))
    assert {name: value for name, value in found.items() if value != "'self'"} == {
        "default-src": "'none'",
        "frame-ancestors": "'none'",
        "base-uri": "'none'",
    }
    assert found.keys() >= {"script-src", "style-src", "img-src", "font-src", "connect-src", "form-action"}
    assert "unsafe" not in HEADERS["Content-Security-Policy"]


@pytest.mark.parametrize(
    ("headers", "fits"),
    [
        ({"sec-fetch-site": "same-origin"}, True),
        ({"sec-fetch-site": "none"}, True),
        ({"origin": f"http://{HOST}"}, True),
        ({"origin": f"https://{HOST}"}, True),
        ({"origin": "http://LOCALHOST:8450"}, True),
        ({"origin": f"http://{HOST}/x"}, False),
        ({"origin": f"ftp://{HOST}"}, False),
        ({"origin": f"http://user@{HOST}"}, False),
        ({"origin": "http://"}, False),
        ({"origin": "http://[::1"}, False),
        ({"sec-fetch-site": "cross-site", "origin": f"http://{HOST}"}, False),
        ({}, True),
        ({"content-type": "application/json"}, True),
        ({"content-type": "application/x-www-form-urlencoded"}, False),
        ({"content-type": "multipart/form-data; boundary=x"}, False),
        ({"content-type": "Text/Plain ; charset=utf-8"}, False),
    ],
)
def test_where_a_request_comes_from_is_read_strictly(headers: dict[str, str], *, fits: bool) -> None:
    raw = [(name.encode(), value.encode()) for name, value in {"host": HOST, **headers}.items()]
    assert is_from_here(Request({"type": "http", "headers": raw})) is fits


def test_the_usual_port_may_be_named_or_left_out() -> None:
    raw = [(b"host", b"localhost"), (b"origin", b"https://localhost:443")]
    assert is_from_here(Request({"type": "http", "headers": raw}))


def test_too_much_at_once_is_refused_before_it_is_read(signed_in: Browser) -> None:
    answer = signed_in.post("/settings", Content_Length=str(BODY_MOST + 1))
    assert answer.status_code == 413


def test_a_form_without_files_that_is_too_long_is_refused_while_it_comes(signed_in: Browser) -> None:
    answer = signed_in.post("/settings", {"currency": "x" * 1_100_000})
    assert answer.status_code == 413


def test_the_service_takes_no_cookie(signed_in: Browser) -> None:
    assert signed_in.client.get("/api/v1/health").status_code == 200
    answer = signed_in.client.get("/api/v1/books")
    assert answer.status_code == 401
    assert answer.headers["content-type"] == "application/problem+json"


def test_a_page_that_fails_says_nothing_of_what_is_inside_and_carries_the_headers(
    signed_in: Browser, home: Home
) -> None:
    def fail() -> None:
        raise RuntimeError("the inside of the program")

    routes_of_all = home.app.router.routes
    routes_of_all.insert(0, APIRoute("/broken", fail))
    answer = signed_in.get("/broken")
    routes_of_all.pop(0)
    assert answer.status_code == 500
    assert "inside of the program" not in answer.text
    assert answer.headers["Content-Security-Policy"] == HEADERS["Content-Security-Policy"]
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_path_that_leads_nowhere_and_one_that_takes_no_form_have_their_pages(signed_in: Browser) -> None:
    assert signed_in.get("/nowhere").status_code == 404
    answer = signed_in.post("/keys")
    assert (answer.status_code, answer.headers["allow"]) == (405, "GET, HEAD")


def test_files_are_kept_as_long_as_they_stay_what_they_are(home: Home) -> None:
    visitor = home.browser()
    page = visitor.get("/sign-in").text
    sheet = re.search(r'href="(/static/base\.css\?v=[0-9a-f]+)"', page)
    assert sheet
    assert visitor.get(sheet[1]).headers["cache-control"] == "public, max-age=31536000, immutable"
    plain = visitor.get("/static/base.css")
    assert plain.headers["cache-control"] == "no-cache"
    assert visitor.get("/static/base.css", If_None_Match=plain.headers["etag"]).status_code == 304
    assert visitor.get("/static/base.css?v=0").headers["cache-control"] == "no-cache"
    assert visitor.get("/static/fonts/libre-franklin.woff2").headers["cache-control"] == "public, max-age=604800"
    assert visitor.get("/static/../app.py").status_code == 404
    assert visitor.get("/static/%2e%2e/app.py").status_code == 404

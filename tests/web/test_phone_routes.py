"""A paired phone before every way to change something and every page there is, made from the pages' own route table."""

from collections.abc import Iterator
from typing import Any

import pytest

from ledger.actor import BENCH_KINDS
from ledger.bench import Load, Step
from ledger.events import KINDS
from ledger.usecases.bench import look_at_bench, put_in
from ledger.usecases.phones import join
from tests.builders import a_purchase, an_examination, an_intervention
from tests.fakes import FakeClock
from tests.web.browser import PASSWORD, Browser, Home, form_to, forms_of, is_in, text_of
from tests.web.conftest import a_home
from tests.web.markup import read_page
from tests.web.phone_lists import ANYBODYS, AT_THE_COMPUTER, BENCH_WORK, OWN, TO_READ
from tests.web.stories import OWNER, Shelf
from tests.web.test_guards import UNSAFE, filled, methods_of, state_of
from web.app import routes
from web.entry_tasks import WRITTEN_ELSEWHERE

NAME = "Grey phone"
REFUSED = "This phone was paired for bench work"
READING = sorted({route.path for route in routes() if "GET" in methods_of(route)})
MENDING = ("correction", "withdrawal", "erasure")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    """One for all of them, with one book in a load."""
    with a_home(tmp_path_factory.mktemp("home")) as home:
        yield home


@pytest.fixture(scope="module")
def book(home: Home) -> str:
    return Shelf(home.ledger).takes(a_purchase(), an_examination())


@pytest.fixture(scope="module")
def load(home: Home, book: str) -> Load:
    return put_in(home.ledger, OWNER, [book], Step(values={"technique": "cold-press"}))


@pytest.fixture
def phone(home: Home) -> Browser:
    """A browser that was paired."""
    browser = home.browser()
    browser.client.cookies.set(browser.cookie, join(home.accounts, NAME), domain="localhost.local")
    return browser


def everything(home: Home) -> list[Any]:
    return [state_of(home), look_at_bench(home.ledger, OWNER)]


def test_every_way_to_change_something_stands_in_one_list_and_no_list_has_more() -> None:
    assert set(UNSAFE) >= BENCH_WORK | OWN | ANYBODYS
    assert set(READING) >= TO_READ
    assert {path for _, path in UNSAFE} - {path for _, path in BENCH_WORK | OWN | ANYBODYS} == AT_THE_COMPUTER


@pytest.mark.parametrize(("method", "path"), sorted(set(UNSAFE) - BENCH_WORK - OWN - ANYBODYS))
def test_what_is_no_bench_work_is_refused_with_the_mend_and_nothing_has_changed(
    home: Home, phone: Browser, book: str, method: str, path: str
) -> None:
    before = everything(home)
    sent = {"password": PASSWORD, "current_password": PASSWORD, "new_password": "forty paper bags in a drawer"}
    for at in (filled(path), path.replace("{book}", book)):
        answer = phone.send(
            method, filled(at), {**sent, "name": NAME, "label": "x", "days": "9", "permissions": "read"}
        )
        assert answer.status_code == 403
        assert "set-cookie" not in answer.headers
        said = text_of(answer)
        assert "This is done at the computer" in said
        assert REFUSED in said
        assert "sign in with your password" in said
    assert everything(home) == before


@pytest.mark.parametrize(("method", "path"), sorted(ANYBODYS))
def test_what_lets_anybody_in_lets_a_phone_in_no_other_way(home: Home, phone: Browser, method: str, path: str) -> None:
    before = everything(home)
    assert phone.send(method, filled(path), {"password": "not the one"}).status_code in {403, 404, 410}
    assert everything(home) == before
    assert phone.get("/settings").status_code == 403


@pytest.mark.parametrize("path", READING)
def test_a_phone_looks_at_the_collection_and_at_nothing_that_is_set_or_signed(
    home: Home, phone: Browser, book: str, path: str
) -> None:
    before = everything(home)
    answer = phone.get(filled(path.replace("{book}", book)))
    if path in TO_READ:
        assert answer.status_code in {200, 303, 400, 404, 410}, text_of(answer)
    else:
        assert (answer.status_code, REFUSED in text_of(answer)) == (403, True)
    assert everything(home) == before


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_phone_is_shown_the_forms_of_bench_work_and_no_other(
    home: Home, phone: Browser, book: str, kind: str
) -> None:
    before = everything(home)
    of = f"&entry=2&book={book}" if kind in MENDING else "" if kind in ("room", "ruling") else f"&book={book}"
    shown = phone.get(f"/entry/new?kind={kind}{of}")
    sent = phone.post(f"/entry/new?kind={kind}{of}", {"do": "show"})
    if kind in WRITTEN_ELSEWHERE:
        assert (shown.status_code, sent.status_code) == (200, 404)
    elif kind in BENCH_KINDS:
        assert (shown.status_code, sent.status_code) == (200, 200)
    else:
        assert (shown.status_code, sent.status_code) == (403, 403)
        assert REFUSED in text_of(shown)
    assert everything(home) == before


def test_the_words_on_the_ruler_lead_only_where_a_phone_may_go(phone: Browser, book: str) -> None:
    for path in ("/bench", f"/books/{book}", "/collection", "/ledger", "/rules", "/wall", f"/tags?book={book}"):
        page = read_page(phone.get(path).text)
        nav = [each.attrs["href"] for each in page.one("nav", class_="nav").all("a")]
        assert nav == ["/wall", "/collection", "/bench", "/ledger", "/rules"]
        around = page.one("header").all("a") + page.one("footer").all("a")
        for href in {each.attrs["href"] for each in around}:
            assert phone.get(href).status_code in {200, 303}, href
        assert [each.attrs["action"] for each in page.one("footer").all("form")] == ["/leave"]


def test_no_link_in_a_page_leads_a_phone_to_what_it_may_not_do(phone: Browser, home: Home) -> None:
    shelf = Shelf(home.ledger)
    shelf.takes(a_purchase("2024-02-01", expects_arrival=True))
    shelf.takes(a_purchase(), an_examination(), an_intervention(), an_examination("2024-04-01"))
    waiting, seen, refused = ["/wall", "/collection", "/bench", "/ledger", "/rules"], set[str](), []
    while waiting:
        path = waiting.pop().partition("#")[0]
        if not path.startswith("/") or path in seen:
            continue
        seen.add(path)
        answer = phone.get(path)
        refused += [path] if answer.status_code == 403 else []
        if answer.status_code == 200 and answer.headers["content-type"].startswith("text/html"):
            waiting += [each.attrs["href"] for each in read_page(answer.text).all("a") if "href" in each.attrs]
    assert refused == []
    assert len(seen) > 60


def test_only_bench_work_is_offered_for_a_book(phone: Browser, book: str, home: Home) -> None:
    links = [each.attrs["href"] for each in read_page(phone.get(f"/entry/new?book={book}").text).one("main").all("a")]
    kinds = {href.partition("kind=")[2].partition("&")[0] for href in links if "kind=" in href}
    assert kinds == BENCH_KINDS
    owners = home.browser().sign_in().get(f"/entry/new?book={book}").text
    assert "kind=sale" in owners
    assert "kind=withdrawal" in owners


def test_the_proof_is_left_to_the_computer(phone: Browser, book: str) -> None:
    page = read_page(phone.get(f"/books/{book}").text)
    assert "hands out nothing of the whole book" in page.one("section", id="proof").text
    assert page.one("section", id="proof").all("form") == []


def test_a_phone_stops_a_load_and_tells_what_was_done(
    home: Home, phone: Browser, book: str, load: Load, clock: FakeClock
) -> None:
    answer = phone.post(f"/bench/{load.id}/stop")
    form = form_to(phone.follow(answer), "/entry/new")
    written = phone.post(answer.headers["location"], form.fields)
    assert written.status_code == 303, text_of(written)
    with home.ledger.log.read() as reader:
        entry = reader.of_book(book)[-1]
    assert (entry.event.kind, entry.actor) == ("intervention", "owner")
    assert look_at_bench(home.ledger, OWNER).loads == ()


def test_a_phone_writes_a_choice_and_changes_no_preference(home: Home, phone: Browser, book: str) -> None:
    where = f"/entry/new?kind=choice&book={book}"
    form = form_to(phone.get(where), "/entry/new")
    asked = phone.post(where, {**form.fields, "next": "stop", "on": "3/4/2025"})
    assert asked.status_code == 422
    assert 'name="remember"' not in asked.text
    again = form_to(asked, "/entry/new").fields
    written = phone.post(where, {**again, "on:as": "dmy 3/4/2025", "remember": "date_order"})
    assert written.status_code == 303, text_of(written)
    with home.accounts.store.read() as reader:
        person = reader.person("owner")
    assert person is not None
    assert person.preferences.date_order is None


def test_a_phone_counts_what_it_finds_and_plans_nothing(home: Home, phone: Browser) -> None:
    book = Shelf(home.ledger).takes(a_purchase("2023-02-01"))
    page = phone.get("/care")
    assert read_page(page.text).one("main").all("form", action="/care/planned") == []
    form = next(each for each in forms_of(page) if each.action == "/care/count")
    written = phone.post("/care/count", {**form.fields, "one": book})
    assert written.status_code == 303, text_of(written)
    with home.ledger.log.read() as reader:
        entry = reader.of_book(book)[-1]
    assert (entry.event.kind, entry.actor) == ("count", "owner")


def test_the_service_takes_no_phone(phone: Browser) -> None:
    assert phone.client.get("/api/v1/books").status_code == 401


def test_with_the_password_a_phones_browser_becomes_the_owners(home: Home, phone: Browser) -> None:
    assert phone.get("/settings").status_code == 403
    assert is_in(phone.sign_in())
    assert home.accounts.owner == "owner"

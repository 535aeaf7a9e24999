"""From a page to its HTML: fields, words, filters; the frame around it; and what is said when something failed."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from jinja2 import ChoiceLoader, DictLoader, FileSystemLoader, UndefinedError

from ledger import errors as told
from ledger.errors import LedgerError, Problem
from ledger.money import Money
from ledger.when import When
from tests.web.markup import Element, read_page
from web import refusals
from web.filters import digits8, grade, known, moment, money, tally, when
from web.frame import Checked, Frame, Place, Theme, Told
from web.pages.errors import BROKEN, FAILINGS, STATUSES, error_page, failing_of, status_page
from web.pages.keys import KeysPage, groups
from web.render import PART, STATIC, TEMPLATES, Page, asset, environment, page, render, render_part
from web.wording import t

AT = datetime(2026, 10, 14, 6, 0, tzinfo=UTC)
OWNER = Frame(path="/keys", signed_in=True, entries=412, checked=Checked(at=AT, findings=0))
STRANGER = Frame(path="/keys")


@page("shelf.html")
@dataclass(frozen=True, kw_only=True)
class ShelfPage(Page):
    """A page of these tests."""

    title: str


@pytest.fixture
def shelf(monkeypatch: pytest.MonkeyPatch) -> ShelfPage:
    text = "<h1>{{ title }}</h1>{% block rows %}<p>{{ m.title(title) }}</p>{% endblock %}{% block lost %}{{ lost }}{% endblock %}"
    monkeypatch.setattr(
        environment(), "loader", ChoiceLoader([DictLoader({"shelf.html": text}), FileSystemLoader(TEMPLATES)])
    )
    return ShelfPage(frame=OWNER, title="<b>Q & A</b>")


def shown(frame: Frame) -> Element:
    return read_page(bytes(render(KeysPage(frame=frame, groups=groups())).body))


def body(response_body: bytes | memoryview) -> str:
    return bytes(response_body).decode()


def test_what_somebody_typed_is_never_markup(shelf: ShelfPage) -> None:
    escaped = "&lt;b&gt;Q &amp; A&lt;/b&gt;"
    assert body(render_part(shelf, "rows").body) == f'<p><em class="title">{escaped}</em></p>'


def test_a_name_that_is_no_field_of_the_page_is_refused(shelf: ShelfPage) -> None:
    with pytest.raises(UndefinedError, match="lost"):
        render(shelf)


def test_a_part_is_one_block_and_no_cache_takes_it_for_the_page(shelf: ShelfPage) -> None:
    part = render_part(shelf, "rows")
    assert "<h1>" not in body(part.body)
    assert part.headers["vary"] == PART
    assert part.headers["cache-control"] == "no-store"
    assert render(KeysPage(frame=OWNER, groups=())).headers["vary"] == PART


def test_the_address_of_a_file_changes_with_the_file() -> None:
    address, tag = asset("base.css").split("?v=")
    assert address == "/static/base.css"
    assert len(tag) == 12
    assert tag != asset("head.css").split("?v=")[1]


def test_every_file_that_a_page_asks_for_is_there() -> None:
    root = shown(OWNER)
    asked = [each.attrs["href"] for each in root.all("link")] + [each.attrs["src"] for each in root.all("script")]
    assert len(asked) > 10
    for address in asked:
        assert (STATIC / address.removeprefix("/static/").split("?")[0]).is_file(), address


def test_a_page_says_its_language_its_title_and_where_its_words_begin() -> None:
    root = shown(OWNER)
    assert root.one("html").attrs == {"lang": "en"}
    assert root.one("title").text == "Keys, Slipsheet"
    assert root.one("a", class_="skip").attrs["href"] == "#main"
    assert root.one("main").one("h1").text == "Keys"


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
def test_a_palette_that_was_chosen_stands_on_the_page(theme: Theme) -> None:
    assert shown(replace(OWNER, theme=theme)).one("html").attrs["data-theme"] == theme.value


def test_the_word_of_the_place_is_marked_on_the_ruler() -> None:
    nav = shown(OWNER.at(Place.LEDGER)).one("nav")
    assert [each.text for each in nav.all("a")] == [
        "Wall",
        "Collection",
        "Bench",
        "Ledger",
        "Check",
        "Rules",
        "Settings",
    ]
    assert nav.one("a", aria_current="page").attrs["href"] == "/ledger"
    assert not shown(OWNER).all(aria_current="page")


def test_a_stranger_is_told_nothing_of_the_ledger() -> None:
    root = shown(STRANGER)
    assert not root.all("nav")
    assert not root.all("form")
    assert "entries" not in root.one("footer").text


@pytest.mark.parametrize(
    ("checked", "said"),
    [
        (None, "Ledger: 412 entries, not checked yet"),
        (Checked(at=AT, findings=0), "Ledger: 412 entries, whole at the last check, 14 October 2026, 06:00 UTC"),
        (Checked(at=AT, findings=1), "Ledger: 412 entries, one finding at the last check, 14 October 2026, 06:00 UTC"),
        (Checked(at=AT, findings=3), "Ledger: 412 entries, 3 findings at the last check, 14 October 2026, 06:00 UTC"),
    ],
)
def test_the_foot_says_how_the_ledger_was_last_found(checked: Checked | None, said: str) -> None:
    foot = shown(replace(OWNER, checked=checked)).one("footer")
    assert foot.all("p")[0].text == said
    assert bool(foot.all("a", class_="is-fault")) is bool(checked and checked.findings)


def test_what_was_done_is_told_once_and_ends_its_draft() -> None:
    told_line = shown(replace(OWNER, told=Told(sentence="Written as entry 413.", draft="purchase"))).one(class_="told")
    assert told_line.text == "Written as entry 413."
    assert told_line.attrs["role"] == "status"
    assert told_line.attrs["data-draft-done"] == "purchase"
    assert not shown(OWNER).all(class_="told")


def test_a_key_is_on_the_page_of_keys_exactly_when_it_does_something_everywhere() -> None:
    root = shown(OWNER)
    listed = {key.text for key in root.one("section").all("dl")[0].all("kbd")}
    assert listed == {each.attrs["data-key"] for each in root.all("a") if "data-key" in each.attrs}


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (Money(125000, "EUR", 2), "1,250.00\xa0EUR"),
        (Money(-50, "EUR", 2), "\N{MINUS SIGN}0.50\xa0EUR"),
        (Money(1250, "JPY", 0), "1,250\xa0JPY"),
        (Money(0, "USD", 2), "0.00\xa0USD"),
        (None, "not known"),
    ],
)
def test_an_amount_has_its_thousands_apart_and_its_currency_behind(value: Money | None, said: str) -> None:
    assert money(value) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [("1943-08", "August 1943"), (When.parse("199X"), "1990s"), ("", "not known"), (None, "not known")],
)
def test_a_date_is_said_as_exactly_as_it_is_known(value: When | str | None, said: str) -> None:
    assert when(value) == said


def test_a_moment_is_said_in_utc_and_never_without_an_offset() -> None:
    assert moment(datetime(2026, 1, 1, 0, 30, tzinfo=timezone(timedelta(hours=1)))) == "31 December 2025, 23:30 UTC"
    assert moment(None) == "not known"
    with pytest.raises(ValueError, match="offset"):
        moment(AT.replace(tzinfo=None))


def test_small_things_are_said_as_a_person_reads_them() -> None:
    assert digits8("9f3a61c2d4e5") == "9f3a 61c2"
    assert [grade(0), grade(24), grade(None)] == ["0.5", "10.0", "not known"]
    assert tally(12345) == "12,345"
    assert [known(None), known(""), known(0), known("x")] == ["not known", "not known", 0, "x"]


def error_classes() -> set[type[LedgerError]]:
    found = {each for module in (told, refusals) for each in vars(module).values() if isinstance(each, type)}
    return {each for each in found if issubclass(each, LedgerError)} - {LedgerError, *asks()}


def asks() -> set[type[LedgerError]]:
    """These lead to a page that asks, not to a page that refuses."""
    return {refusals.AskFirstError, *refusals.AskFirstError.__subclasses__()}


def test_every_refusal_of_the_ledger_has_a_page_of_its_own() -> None:
    assert len(error_classes()) > 10
    for each in error_classes():
        assert next((FAILINGS[base] for base in each.__mro__ if base in FAILINGS), BROKEN) is not BROKEN, each


@pytest.mark.parametrize("name", sorted({each.name for each in (*FAILINGS.values(), *STATUSES.values())}))
def test_every_failure_has_words_for_what_happened_and_for_the_mend(name: str) -> None:
    assert {f"errors.{name}.title", f"errors.{name}.mend"} <= t.texts.keys()


@pytest.mark.parametrize("status", [400, 403, 404, 405, 413, 422, 429, 500, 503])
def test_a_status_has_its_page(status: int) -> None:
    response = status_page(status, OWNER)
    assert response.status_code == status
    sheet = read_page(bytes(response.body)).one("main").one("section")
    assert sheet.one("h1").text
    assert sheet.one("p", class_="mend").text
    assert f"Status {status}" in sheet.text


def test_a_status_without_a_page_says_at_least_that_it_failed() -> None:
    response = status_page(418, OWNER)
    assert response.status_code == 418
    assert read_page(bytes(response.body)).one("h1").text == "The program failed here"


def test_a_broken_rule_names_the_entries_in_its_way() -> None:
    problem = Problem(field="on", sentence="The book was sold before.", entries=(311, 312))
    response = error_page(told.RuleError(problems=(problem,)), OWNER)
    assert response.status_code == 409
    line = read_page(bytes(response.body)).one("ul", class_="said").one("li")
    assert line.text == "The book was sold before. Entry 311 Entry 312"
    assert [each.attrs["href"] for each in line.all("a")] == ["/ledger/311", "/ledger/312"]


def test_a_refusal_says_its_own_sentence() -> None:
    response = error_page(told.NotFoundError(what="book", name="<x>"), OWNER)
    assert response.status_code == 404
    assert read_page(bytes(response.body)).one("p", class_="said").text == "There is no book <x> in this collection."


@pytest.mark.parametrize("error", [ValueError("secret place"), told.StoreError(problem="secret place")])
def test_a_failure_says_nothing_of_what_is_inside(error: Exception) -> None:
    response = error_page(error, STRANGER)
    assert response.status_code == failing_of(error).status
    assert "secret" not in body(response.body)
    assert read_page(bytes(response.body)).all(class_="is-fault")


def test_templates_are_compiled_once_and_kept() -> None:
    assert environment() is environment()
    assert environment().get_template("keys.html") is environment().get_template("keys.html")
    assert TEMPLATES.is_dir()

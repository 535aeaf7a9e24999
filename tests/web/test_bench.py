"""The pages of the bench: put in, come out, write down what was done; recipes from a book's own steps."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from urllib.parse import parse_qs, urlsplit

import pytest

from ledger.bench import Load, Step
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.usecases.bench import look_at_bench
from tests.builders import a_purchase, an_intervention
from tests.fakes import FakeClock
from tests.web.browser import Browser, form_to, forms_of, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf, page_of
from tests.zones import CENTRAL_EUROPE, in_zone
from web.bench_lines import at_words, scale_of, spent
from web.bench_steps import OVERDUE_MINUTES, finished

PRESS = {"technique": "hot-press-dry", "settings.set_celsius": "65", "settings.hold_minutes": "10"}
HALF_A_DAY = {**PRESS, "settings.cooling_minutes": "710", "settings.total_minutes": "720"}
ALMOST_THREE_DAYS = {**HALF_A_DAY, "settings.total_minutes": "3600"}
NOW = datetime(2026, 1, 2, 12, tzinfo=UTC)


def put_in(browser: Browser, books: list[str], values: dict[str, str]) -> str:
    """What the bench says behind it."""
    answer = browser.post("/bench/start", {"book": books, **values})
    assert answer.status_code == 303, text_of(answer)
    return text_of(browser.follow(answer))


def test_an_empty_bench_says_what_it_is_for(signed_in: Browser) -> None:
    said = text_of(signed_in.get("/bench"))
    assert "Nothing is in a press." in said
    assert "No book waits." in said


def test_a_load_is_told_with_its_step_its_books_and_its_end(signed_in: Browser, shelf: Shelf) -> None:
    books = [shelf.takes(a_purchase()), shelf.takes(a_purchase())]
    said = put_in(signed_in, books, {**HALF_A_DAY, "tool": "Large press"})
    assert (
        "2 books are in: Hot press, dry, 65 °C, 10 minutes hot, 11 hours 50 minutes cooling, 12 hours in all." in said
    )
    assert "non-additive" in said
    assert "Large press" in said
    assert "Comes out" in said
    links = [each.attrs["href"] for each in read_page(signed_in.get("/bench").text).one("ol", class_="loads").all("a")]
    assert links == [f"/books/{book}" for book in books]


def test_it_comes_out_into_the_form_filled_in_and_is_gone_once_that_is_written(
    signed_in: Browser, shelf: Shelf, ledger: Ledger, clock: FakeClock
) -> None:
    books = [shelf.takes(a_purchase()), shelf.takes(a_purchase())]
    put_in(signed_in, books, HALF_A_DAY)
    (load,) = look_at_bench(ledger, OWNER).loads
    clock.time = load.started + timedelta(minutes=725)
    answer = signed_in.post(f"/bench/{load.id}/stop")
    page = signed_in.follow(answer)
    form = next(each for each in forms_of(page) if each.action.startswith("/entry/new"))
    assert form.fields["technique"] == "hot-press-dry"
    assert form.fields["settings.hold_minutes"] == "10"
    assert form.fields["settings.total_minutes"] == "725"
    assert "Write down what was done" in text_of(signed_in.get("/bench"))
    written = signed_in.post(answer.headers["location"], form.fields)
    assert written.status_code == 303, text_of(written)
    assert look_at_bench(ledger, OWNER).loads == ()
    for book in books:
        with ledger.log.read() as reader:
            event = reader.of_book(book)[-1].event
        assert isinstance(event, Intervention)
        assert event.settings is not None
        assert (event.settings.hold_minutes, event.settings.total_minutes) == (10, 725)


def test_what_never_went_in_is_called_off_and_nothing_is_written(
    signed_in: Browser, shelf: Shelf, ledger: Ledger
) -> None:
    book = shelf.takes(a_purchase())
    put_in(signed_in, [book], PRESS)
    (load,) = look_at_bench(ledger, OWNER).loads
    said = text_of(signed_in.follow(signed_in.post(f"/bench/{load.id}/off")))
    assert "Nothing was written, for nothing was done." in said
    assert len(shelf.seqs(book)) == 1


def test_a_step_without_a_technique_comes_back_with_what_was_typed(signed_in: Browser, shelf: Shelf) -> None:
    answer = signed_in.post("/bench/start", {"book": shelf.takes(a_purchase()), "tool": "Small press"})
    assert answer.status_code == 422
    assert "Choose a technique of the table." in text_of(answer)
    assert form_to(answer, "/bench/start").fields["tool"] == "Small press"


def test_a_book_in_another_load_comes_back_with_the_reason(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase())
    put_in(signed_in, [book], PRESS)
    answer = signed_in.post("/bench/start", {"book": book, "technique": "cold-press"})
    assert answer.status_code == 409
    assert "in another load" in text_of(answer)


def test_cautions_stand_where_the_step_is_chosen(signed_in: Browser, shelf: Shelf) -> None:
    said = text_of(signed_in.get(f"/bench/start?book={shelf.takes(a_purchase())}"))
    assert "paper conservator" in said
    assert "local codes" in said


def test_without_a_book_the_way_to_the_books_is_shown(signed_in: Browser) -> None:
    assert read_page(signed_in.get("/bench/start").text).all("a", href="/collection", class_="next")


def test_a_books_own_steps_make_a_recipe_that_begins_with_one_tap(
    signed_in: Browser, shelf: Shelf, ledger: Ledger
) -> None:
    worked = shelf.takes(a_purchase(), an_intervention("dry-cleaning"), an_intervention("cold-press"))
    assert page_of(signed_in, worked).all("a", href=f"/bench/recipe?book={worked}")
    form = form_to(signed_in.get(f"/bench/recipe?book={worked}"), "/bench/recipe")
    first, second = shelf.seqs(worked)[1:]
    kept = signed_in.post("/bench/recipe", {**form.fields, "step": [str(first), str(second)], "name": "Flat"})
    assert "The recipe Flat is kept." in text_of(signed_in.follow(kept))
    (recipe,) = look_at_bench(ledger, OWNER).recipes
    assert [each.technique for each in recipe.steps] == ["dry-cleaning", "cold-press"]
    said = put_in(signed_in, [shelf.takes(a_purchase())], {"recipe": f"{recipe.id}.0"})
    assert "Flat, step 1 of 2. Then: Cold press" in said
    off = f"/bench/recipe/{recipe.id}/off"
    assert not read_page(signed_in.get("/bench").text).all("form", action=off), "a wet finger is no decision"
    assert read_page(signed_in.get(f"/bench/recipes/{recipe.id}").text).all("form", action=off)
    gone = signed_in.post(off)
    assert "The recipe is gone." in text_of(signed_in.follow(gone))


def test_a_recipe_without_a_name_comes_back(signed_in: Browser, shelf: Shelf) -> None:
    worked = shelf.takes(a_purchase(), an_intervention("dry-cleaning"))
    answer = signed_in.post("/bench/recipe", {"book": worked, "step": str(shelf.seqs(worked)[1]), "name": " "})
    assert answer.status_code == 422
    assert "A recipe has a name" in text_of(answer)


def load_of(values: dict[str, str], minutes: int) -> Load:
    return Load(id="x", books=("b",), step=Step(values=values), started=NOW, stopped=NOW + timedelta(minutes=minutes))


@pytest.mark.parametrize(
    ("minutes", "total", "hold"),
    [
        (720, "720", "10"),
        (720 + OVERDUE_MINUTES, "750", "10"),
        # Left running: how long it was is asked.
        (721 + OVERDUE_MINUTES, None, "10"),
        # Stopped early: it cannot have been in the hold and the cooling that were planned.
        (300, "300", None),
    ],
)
def test_nothing_is_guessed_of_a_load_that_did_not_end_as_planned(
    minutes: int, total: str | None, hold: str | None
) -> None:
    values = finished(load_of(HALF_A_DAY, minutes))
    assert (values.get("settings.total_minutes"), values.get("settings.hold_minutes")) == (total, hold)


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "less than a minute"),
        (1, "one minute"),
        (59, "59 minutes"),
        (60, "one hour"),
        (90, "one hour 30 minutes"),
        (720, "12 hours"),
        (2880, "2 days"),
        (3000, "2 days 2 hours"),
    ],
)
def test_a_length_of_time_is_said_as_at_the_bench(minutes: int, words: str) -> None:
    assert spent(minutes) == words


def test_a_moment_is_said_from_today(clock: FakeClock) -> None:
    now = clock.time.astimezone().replace(hour=12)
    assert at_words(now.replace(hour=9, minute=20), now) == "today 09:20"
    assert at_words(now.replace(hour=9, minute=20) + timedelta(days=1), now) == "tomorrow 09:20"
    assert at_words(now.replace(hour=9, minute=20) - timedelta(days=1), now) == "yesterday 09:20"
    assert at_words(now.replace(minute=0) + timedelta(days=5), now).endswith(", 12:00")


def test_every_load_and_the_present_lie_on_the_scale() -> None:
    loads = [load_of(HALF_A_DAY, 5), load_of({**HALF_A_DAY, "settings.total_minutes": "5000"}, 9)]
    with in_zone("UTC0"):
        scale = scale_of(loads, NOW + timedelta(hours=3))
    assert scale.place(NOW) == 0
    assert 0 < scale.now < scale.place(NOW + timedelta(minutes=5000)) < 100
    assert [round(each.at, 6) for each in scale.ticks] == sorted(round(each.at, 6) for each in scale.ticks)
    # Four midnights lie within 5,000 minutes from noon.
    assert len(scale.ticks) == 4


@pytest.mark.parametrize("noon", [datetime(2027, 3, 27, 12), datetime(2027, 10, 30, 12)])  # noqa: DTZ001 - there
def test_midnights_are_where_the_clocks_are_changed_too(noon: datetime) -> None:
    with in_zone(CENTRAL_EUROPE):
        started, midnights = noon.astimezone(), [noon + timedelta(hours=12 + 24 * each) for each in range(3)]
        load = replace(load_of(HALF_A_DAY, 0), started=started, stopped=None, step=Step(values=ALMOST_THREE_DAYS))
        scale = scale_of([load], started)
        assert [each.at for each in scale.ticks] == [scale.place(each.astimezone()) for each in midnights]


def test_the_way_out_names_the_load(signed_in: Browser, shelf: Shelf, ledger: Ledger) -> None:
    put_in(signed_in, [shelf.takes(a_purchase())], PRESS)
    (load,) = look_at_bench(ledger, OWNER).loads
    asked = parse_qs(urlsplit(signed_in.post(f"/bench/{load.id}/stop").headers["location"]).query)
    assert (asked["load"], asked["kind"], asked["book"]) == ([load.id], ["intervention"], list(load.books))

"""The page of forecasts: each beside its result, scores beside the naive ones, what is too few, and what does not count."""

from collections.abc import Sequence
from fractions import Fraction

import pytest

from ledger.events.outlook import Origin
from ledger.events.slab import Outcome, Slab
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.rules.recalibration import RESULTS_NEEDED
from ledger.rules.scoring import PIT_FROM, Bias, reliability
from ledger.sealed import Sealed
from tests.builders import a_purchase
from tests.fakes import FakeClock
from tests.usecases.forecast_books import Sent, a_batch, an_outlook, written
from tests.web.browser import Browser, Home, text_of
from tests.web.markup import Element, read_page
from web.forecast_drawings import PIT_HEIGHT, SIDE, STRIP_HEIGHT, pit_of, reliability_of, strip_of
from web.forecast_lines import bias_words, surprise_words
from web.pages.forecasts import PATH


def page(home: Home) -> Element:
    """Read by somebody who signs in then: the clock has moved by years."""
    home.set_password()
    answer = home.browser().sign_in().get(PATH)
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


def facts(section: Element) -> dict[str, str]:
    names, values = section.all("dt"), section.all("dd")
    return dict(zip((each.text for each in names), (each.text for each in values), strict=True))


def test_without_an_outlook_it_says_what_starts_it(signed_in: Browser) -> None:
    said = text_of(signed_in.get(PATH))
    assert "No forecast has a result yet." in said
    assert "No outlook has been written down yet." in said


def test_the_collection_leads_to_it(signed_in: Browser, ledger: Ledger) -> None:
    written(ledger, (None, a_purchase()))
    assert read_page(signed_in.get("/collection").text).all("a", href=PATH)


def test_nobody_who_is_not_signed_in_sees_it(visitor: Browser) -> None:
    assert visitor.get(PATH).status_code == 303


def test_a_forecast_stands_beside_its_result_with_the_naive_ones(home: Home, ledger: Ledger, clock: FakeClock) -> None:
    first, second = a_batch(ledger, clock, 2026, [Sent(), Sent(result="9.6", before="")])
    shown = page(home)
    assert shown.one("h1").text == "What your forecasts are worth"
    rows = shown.one("section", id="each").one("tbody").all("tr")
    assert [row.all("a")[0].attrs["href"] for row in rows] == [f"/books/{second}", f"/books/{first}"]
    missed, met = ([cell.text for cell in row.all("td")] for row in rows)
    assert "9.2: 50 %, 9.0: 25 %, 9.4: 25 %" in met[0]
    assert met[1:] == ["9.2 at the middle step", "0.005", "0.083", "none yet", "0.69"]
    assert missed[1:] == ["9.6 2 steps better", "0.068", "not known", "not known", "7.60"]
    assert "What happened had no weight." in missed[0]
    told = facts(shown.one("section", id="in-all"))
    assert told["At the middle step"] == "1 of 2"
    assert told["Leaning"] == "On average graded one step better than the middle step; the median is one step better."
    assert told["The grade stays"] == "0.083, yours 0.005, of one result. Yours lost 94 % less."
    assert told["Your average gain"] == "No result to compare."
    assert told["Log score"] == "4.15 · One result had no weight at all."


def test_few_results_are_said_to_be_few_and_the_pit_waits(home: Home, ledger: Ledger, clock: FakeClock) -> None:
    a_batch(ledger, clock, 2025, [Sent(), Sent(result="")])
    said = page(home).one("main").text
    assert "One forecast has a result. That is few" in said
    assert f"Shown from {PIT_FROM} results on" in said
    assert f"is offered from {RESULTS_NEEDED} results on; there are 1 so far." in said
    assert "As earlier results correct it" not in said


def test_enough_results_offer_a_corrected_outlook_and_draw_the_pit(
    home: Home, ledger: Ledger, clock: FakeClock
) -> None:
    a_batch(ledger, clock, 2025, [Sent()] * PIT_FROM)
    a_batch(ledger, clock, 2026, [Sent(result="")])
    shown = page(home)
    said = shown.one("main").text
    assert f"{PIT_FROM} forecasts have a result." in said
    assert "That is few" not in said
    # 20 of the outlook's own as 5, 10, 5, and thirty results at the middle: 5, 40, 5 of 50.
    assert "As earlier results correct it: 9.2: 80 %, 9.0: 10 %, 9.4: 10 %" in said
    assert len(shown.one("section", id="reliability").all("figure")) == 2


def test_what_does_not_count_is_told_with_the_reason(home: Home, ledger: Ledger, clock: FakeClock) -> None:
    late, back, lost, out = a_batch(ledger, clock, 2026, [Sent(), Sent(), Sent(result=""), Sent(result="")])
    with ledger.log.read() as reader:
        seq = reader.of_book(back)[1].seq
    written(
        ledger,
        (late, an_outlook("9.2 1000", "2026-02-11", for_batch="b-2026")),
        (back, Withdrawal(entry=seq, reason=Sealed.of("meant for another"))),
        (lost, Slab(on=None, batch="b-2026", outcome=Outcome.LOST)),
        (out, an_outlook("9.8 1000", "2026-04-01", origin=Origin.COMPUTED)),
    )
    shown = page(home)
    heads = {each.attrs["id"]: each.one("h2").text for each in shown.all("section") if "id" in each.attrs}
    assert [heads[name] for name in ("no_result", "late", "after_sending", "taken_back")] == [
        "Without a result", "Too late", "After the sending", "Taken back",
    ]  # fmt: skip
    for name, book in (("no_result", lost), ("late", late), ("after_sending", out), ("taken_back", back)):
        links = [each.attrs["href"] for each in shown.one("section", id=name).all("a")]
        assert f"/books/{book}" in links, name
    assert "Computed, not your own." in shown.one("section", id="after_sending").text
    assert "Written down when the result was there." in shown.one("section", id="late").text


@pytest.mark.parametrize(
    ("steps", "said"),
    [(0, "at the middle step"), (1, "one step better"), (-1, "one step lower"), (-3, "3 steps lower")],
)
def test_surprise_is_said_in_steps(steps: int, said: str) -> None:
    assert surprise_words(steps) == said


@pytest.mark.parametrize(
    ("mean", "median", "said"),
    [
        (
            Fraction(-6, 7),
            Fraction(0),
            "On average graded 0.9 steps lower than the middle step; the median is at that step.",
        ),
        (Fraction(0), Fraction(1, 2), "On average graded at the middle step; the median is 0.5 steps better."),
        (
            Fraction(2),
            Fraction(-1),
            "On average graded 2 steps better than the middle step; the median is one step lower.",
        ),
    ],
)
def test_a_leaning_is_said_in_words(mean: Fraction, median: Fraction, said: str) -> None:
    assert bias_words(Bias(count=7, median=median, mean=mean, met=0, within_one=0)) == said


def test_bars_stand_on_steps_of_equal_width_and_none_is_too_low_to_be_seen() -> None:
    strip = strip_of({Grade("9.2"): 999, Grade("0.5"): 1}, Grade("10.0"))
    assert [(bar.x, bar.y + bar.height, bar.height) for bar in strip.bars] == [
        (1, STRIP_HEIGHT, 1),
        (Grade("9.2").step * 8 + 1, STRIP_HEIGHT, 35),
    ]
    assert strip.result == 24 * 8
    assert strip_of({Grade("9.2"): 1000}, None).result == -1


def test_a_dot_lies_across_at_what_was_said_and_up_at_what_came_true() -> None:
    forecast = [Fraction(0)] * 3 + [Fraction(1, 4), Fraction(3, 4)] + [Fraction(0)] * 20
    drawing = reliability_of(reliability([(forecast, 4)]))
    assert [(dot.x, dot.y) for dot in drawing.dots] == [(0, SIDE), (round(SIDE * 0.75), 0), (SIDE, 0)]
    assert drawing.dots[1].word == "true 1 of 1 times."


@pytest.mark.parametrize(
    ("shares", "even"), [((1,) * 10, 0), ((10, *(0,) * 9), PIT_HEIGHT - PIT_HEIGHT // 10), ((), None)]
)
def test_the_line_of_the_pit_is_a_tenth_high(shares: Sequence[int], even: int | None) -> None:
    drawing = pit_of([Fraction(each, 10) for each in shares])
    assert (drawing.even if drawing else None) == even

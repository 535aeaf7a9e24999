"""No combination of answers makes any sentence call a book "unrestored": not its statement, timeline, report or page."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from itertools import chain as joined
from itertools import product
from pathlib import Path
from typing import Any, Final

import pytest

from ledger.events import Event
from ledger.events._step import DefectOutcome, Ended, WorkedDefect
from ledger.events.intervention import Intervention
from ledger.events.purchase import EarlierWork
from ledger.history import fold, history
from ledger.report import LedgerState, report
from ledger.rules.headings import Fact, Heading, Purpose
from ledger.statement import statement
from tests.builders import BOOK, CODEC, a_defect, a_purchase, an_examination, an_intervention, chain
from tests.web.browser import Browser, text_of
from tests.web.stories import Shelf
from web.brief import brief
from web.entry_rows import rows_of
from web.render import TEMPLATES
from web.report_parts import plain
from web.report_told import report_told
from web.step_words import step_lines
from web.telling import Telling, tell
from web.wording import Counted, t

WEB: Final = TEMPLATES.parent
TECHNIQUE: Final = {Purpose.STABILISE: "rest-under-weight", Purpose.APPEARANCE: "cold-press"}
STATE: Final = LedgerState(
    collection="c", size=3, root="ab" * 32, heads_root="cd" * 32, recorded=datetime(2026, 1, 1, tzinfo=UTC), book_seq=3,
    book_leaf="ef" * 32,
)  # fmt: skip
LOOK: Final = an_examination("2024-02-05", defects=(a_defect(),))


def calls_it_so(text: str) -> bool:
    """The word stands in it, in whatever case and however it is parted or joined."""
    return "unrestored" in re.sub(r"[^a-z]", "", text.casefold())


def a_step(number: int, facts: tuple[Fact, Fact, Fact], purpose: Purpose, **more: Any) -> Intervention:
    adds, removes, alters = facts
    ended = (None, *Ended)[number % 4]
    said = {"adds_material": adds, "removes_original": removes, "alters": alters, "ended": ended}
    return an_intervention(TECHNIQUE[purpose], "2024-03-10", **said, **more)


@cache
def steps() -> tuple[Intervention, ...]:
    """Every answer beside every other: the facts, both purposes, the owner's heading, what was seen right after."""
    found = []
    domain = product(product(Fact, Fact, Fact), Purpose, (None, *Heading), (None, *DefectOutcome))
    for number, (facts, purpose, held, outcome) in enumerate(domain):
        worked = (WorkedDefect(id="d1", outcome=outcome),)
        step = a_step(number, facts, purpose, worked_defects=worked)
        if held is not step.heading:
            found.append(a_step(number, facts, purpose, worked_defects=worked, owner_heading=held))
    return tuple(found)


def sentences(of: Telling) -> Iterator[str]:
    yield of.text
    yield from (clause.words for clause in (*of.sentence, *of.more))
    yield from (count.words for count in of.counts)
    yield from (*of.notes, of.by_aim)


def texts_in(value: object) -> Iterator[str]:
    """Every text in plain data."""
    match value:
        case str():
            yield value
        case dict():
            yield from joined.from_iterable(map(texts_in, value.values()))
        case list() | tuple():
            yield from joined.from_iterable(map(texts_in, value))


def everything_told(*events: Event) -> Iterator[str]:
    """All that is said of a book: its statement, its timeline line by line, and its report."""
    moments = history(chain(*events), CODEC)
    book = fold(BOOK, 1, moments)
    yield from sentences(tell(statement(book, moments)))
    for row in rows_of(moments, CODEC):
        yield from (row.event.summary(), row.brief, row.claimed, *row.lines)
    yield from texts_in(plain(report_told(report(book, moments, STATE), {})))


def test_the_word_is_found_however_it_is_written() -> None:
    for text in ("unrestored", "An UNRESTORED copy", "un-restored", "Un restored"):
        assert calls_it_so(text)
    for text in ("restored", "not done here: any restoration", "under restoration"):
        assert not calls_it_so(text)


def test_every_combination_of_answers_is_gone_through() -> None:
    # Three facts of three answers, two purposes, no owner's heading or one of the three others, five answers on a defect.
    assert len(steps()) == 3**3 * 2 * (1 + 3) * 5 == 1080
    assert {step.ended for step in steps()} == {None, *Ended}
    assert {step.heading for step in steps()} == set(Heading)


def test_no_step_of_any_kind_makes_a_book_unrestored_in_its_statement_its_timeline_or_its_report() -> None:
    for step in steps():
        said = [text for text in everything_told(a_purchase(), LOOK, step) if calls_it_so(text)]
        assert said == [], step


@pytest.mark.parametrize("earlier", EarlierWork)
def test_nor_does_a_book_without_any_step_whatever_its_seller_said(earlier: EarlierWork) -> None:
    for events in ((), (LOOK,)):
        said = list(everything_told(a_purchase(earlier_work=earlier), *events))
        assert len(said) > 50
        assert not any(map(calls_it_so, said))


def test_nor_do_the_lines_that_a_step_has_for_itself() -> None:
    for step in steps():
        assert not any(map(calls_it_so, (step.summary(), brief(step), *step_lines(step))))


def pages_of(browser: Browser, shelf: Shelf, book: str) -> Iterator[str]:
    paths = (f"/books/{book}", f"/books/{book}/report", f"/books/{book}/condition", "/collection", "/ledger")
    for path in (*paths, *(f"/ledger/{seq}" for seq in shelf.seqs(book)[:4])):
        answer = browser.get(path)
        assert answer.status_code == 200, text_of(answer)
        yield answer.text


@pytest.mark.parametrize("heading", [None, *Heading])
def test_no_page_says_it_of_a_book_with_steps_under_one_heading_or_with_none(
    signed_in: Browser, shelf: Shelf, heading: Heading | None
) -> None:
    found = [step for step in steps() if step.heading is heading][:12]
    book = shelf.takes(a_purchase(), LOOK, *found)
    assert not any(map(calls_it_so, pages_of(signed_in, shelf, book)))


def test_no_page_says_it_of_a_book_with_a_step_of_every_kind(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), LOOK, *steps()[::27])
    assert len(shelf.seqs(book)) == 2 + 40
    assert not any(map(calls_it_so, pages_of(signed_in, shelf, book)))


def test_the_words_the_templates_the_sheets_and_the_tables_do_not_know_it() -> None:
    for key, text in t.texts.items():
        forms = (text.one, text.many) if isinstance(text, Counted) else (text,)
        assert not any(map(calls_it_so, forms)), key
    tables = WEB.parent / "ledger" / "rules" / "tables"
    sources: list[Path] = [*TEMPLATES.rglob("*.html"), *(WEB / "sheets").glob("*.typ"), *tables.glob("*.json")]
    assert len(sources) > 40
    for path in sources:
        assert not calls_it_so(path.read_text("utf-8")), path

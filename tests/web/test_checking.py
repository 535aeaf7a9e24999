"""What a check says: findings first, then what is proven, what only claimed, what out of its reach."""

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import ledger as package
from ledger.ports import Ledger
from ledger.proof.report import Evidence, Report
from ledger.settings import Settings
from ledger.store.engine import DATABASE
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.verify import verify_ledger
from tests.web.browser import Browser, Home, text_of
from tests.web.checks import buy, checked, lists
from tests.web.markup import read_page
from tests.web.stories import OWNER
from web import checking
from web.checking import FOUND_FIRST, FOUND_MOST, Area, Verification, area_of
from web.wording import t


def test_a_whole_ledger_is_proven_in_so_many_words_and_numbers(signed_in: Browser, home: Home, ledger: Ledger) -> None:
    buy(ledger, 2)
    sign_checkpoint(ledger, OWNER)
    told = lists(checked(signed_in, home))
    assert told["proven"] == [
        "All 3 entries are as they were written, each in its place, none left out between them.",
        "Each of 2 books has an unbroken chain of its own.",
        "The one checkpoint at hand was signed with this ledger's key and fits.",
        t.n("check.proven.sealed", sealed_count(ledger)),
        "The lists show all 2 books as their entries tell them.",
    ]
    assert any("rest on your word" in each for each in told["claimed"])
    assert "none was given" in told["beyond"][0]


def sealed_count(ledger: Ledger) -> int:
    with ledger.log.read() as reader:
        return len(reader.sealed_between(1, 100))


def test_what_is_wrong_stands_first_with_what_to_do_and_where_to_look(
    signed_in: Browser, home: Home, ledger: Ledger, settings: Settings
) -> None:
    buy(ledger, 2)
    change(settings, "UPDATE entry SET bytes = CAST(replace(CAST(bytes AS TEXT), 'raw', 'wet') AS BLOB) WHERE seq = 2")
    page = checked(signed_in, home)
    said = text_of(page)
    first, second = said.index("The entries:"), said.index("Guards of the database:")
    assert said.index("What was found") < first < second < said.index("Proven")
    assert "Entry 2 was changed after it was written." in said
    assert "Seen in the bytes themselves." in said
    assert "Write nothing more for now." in said
    assert read_page(page.text).all("a", href="/ledger/2")
    assert lists(page)["proven"] == []
    assert "Nothing, until what was found is mended." in said
    assert "findings at the last check" in text_of(signed_in.get("/settings"))


def change(settings: Settings, statement: str) -> None:
    """What somebody does who gets at the file: the guard is taken away first."""
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as connection:
        connection.execute("DROP TRIGGER entry_update")
        connection.execute(statement)
        connection.commit()


def a_report(*codes: str, evidence: Evidence = Evidence.BROKEN, **counted: int) -> Report:
    report = Report(checked=counted or {"entries": 9, "books": 3, "read models": 3}, notes=["the last note"])
    for seq, code in enumerate(codes, start=1):
        report.add(code, f"Something about {code}.", evidence=evidence, seq=seq)
    return report


def test_a_finding_takes_away_only_what_it_touches() -> None:
    whole = Verification(report=a_report())
    lists_only = Verification(report=a_report("read-model-differs"))
    entries = Verification(report=a_report("entry-changed"))
    assert len(whole.proven) == 3
    assert whole.proven[:2] == lists_only.proven
    assert entries.proven == ()


def test_an_empty_ledger_proves_nothing() -> None:
    report = a_report("nothing-here", entries=0)
    assert Verification(report=report).proven == ()
    assert [each.area for each in Verification(report=report).found] == [Area.NOTHING]


def test_findings_are_told_by_what_they_are_about_and_the_gravest_stands_first() -> None:
    report = a_report("read-model-differs", "picture-missing", "order-broken", "entry-changed", "guard-missing")
    found = Verification(report=report).found
    assert [each.area.value for each in found] == ["entries", "pictures", "lists", "guards"]
    assert [each.seq for each in found[0].first] == [3, 4]
    assert all(each.count for each in found)


def test_of_very_many_findings_only_the_first_are_told() -> None:
    found = Verification(report=a_report(*["node-changed"] * (FOUND_MOST + 7))).found
    assert [(len(each.first), len(each.others), each.more) for each in found] == [
        (FOUND_FIRST, FOUND_MOST - FOUND_FIRST, 7)
    ]
    assert found[0].count == FOUND_MOST + 7


def test_an_entry_that_is_not_there_is_not_to_be_looked_at() -> None:
    found = Verification(report=a_report("entry-missing", "entry-changed")).found
    assert [each.seq for each in found[0].first] == [None, 2]


def test_a_finding_says_whether_it_took_a_checkpoint_from_elsewhere_to_see_it() -> None:
    found = Verification(report=a_report("root-differs", evidence=Evidence.ANCHOR)).found
    assert found[0].first[0].seen == "Seen only because a checkpoint kept elsewhere was at hand."


def test_every_code_that_has_a_way_on_of_its_own_is_one_that_a_verification_knows() -> None:
    sources = [path.read_text("utf-8") for path in Path(package.__path__[0]).rglob("*.py")]
    codes = {code for text in sources for code in re.findall(r'"([a-z]+(?:-[a-z]+)+)"', text)}
    for start in checking._BEGINNINGS:
        assert any(code.startswith(start) for code in codes), start
    assert area_of(a_report("order-broken").findings[0]) is Area.ENTRIES


def test_what_a_verification_noticed_by_the_way_is_told_apart_from_what_it_could_not_see(ledger: Ledger) -> None:
    report = verify_ledger(ledger, OWNER)
    assert "none was given" in report.notes[-1]
    assert Verification(report=report).notes == ()
    report.notes.insert(0, "2 later checkpoints differ from the entries as well.")
    assert Verification(report=report).notes == ("2 later checkpoints differ from the entries as well.",)

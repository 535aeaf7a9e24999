"""What was changed behind the program's back has a page that says so; nobody who looks is told that it is his fault."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ledger.bootstrap import OWNER
from ledger.events.correction import Correction
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.store.engine import DATABASE
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.when import When
from tests.builders import a_purchase, an_issue
from tests.usecases.tampering import rewrite, said_by
from tests.web.browser import Browser, text_of
from tests.web.stories import Shelf

READERS_WORDS = ("Input should", "Value error", "valid ", "pydantic")


def changed(settings: Settings, *statements: str) -> None:
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as db, db:
        db.execute("PRAGMA foreign_keys = OFF")
        for each in statements:
            db.execute(each)


@pytest.mark.parametrize("changes", [{"on": 5}, {"on": "x"}, {"means": 7}, {"colour": "red"}])
def test_a_correction_that_was_tampered_with_is_told_as_damage(
    signed_in: Browser, shelf: Shelf, settings: Settings, changes: dict[str, object]
) -> None:
    book = shelf.takes(a_purchase(), Correction(entry=2, changes={"on": "2001"}, reason=Sealed.of("a slip")))
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as db, db:
        db.execute("DROP TRIGGER entry_update")
        rewrite(db, 3, body={**said_by(db, 3)["body"], "changes": changes})
    for path in (f"/books/{book}", "/ledger/2", "/ledger/3", f"/entry/new?book={book}&kind=note"):
        answer = signed_in.get(path)
        assert answer.status_code == 500, path
        said = text_of(answer)
        assert (
            f"Entry 3 at changes.{next(iter(changes))}: with its changes entry 2 is no longer what a purchase says."
            in said
        )
        assert not any(words in said for words in READERS_WORDS)
    assert signed_in.get("/ledger").status_code == 200


@pytest.mark.parametrize(
    ("name", "path", "mend"),
    [
        ("entry", "/ledger", "Put back a backup that is whole."),
        ("token", "/settings/tokens", "Put back a backup that is whole."),
        ("session", "/collection", "Put back a backup that is whole."),
        ("collection", "/collection", "Put back a backup that is whole."),
        ("book_row", "/collection", "Stop the program and run rebuild, which makes anew what is missing."),
    ],
)
def test_a_table_that_is_gone_is_named_with_its_mend(
    signed_in: Browser, shelf: Shelf, settings: Settings, name: str, path: str, mend: str
) -> None:
    shelf.takes(a_purchase())
    changed(settings, f"DROP TABLE {name}")
    answer = signed_in.get(path)
    assert answer.status_code == 500
    assert f"The database: its table {name} is missing. {mend}" in text_of(answer)
    assert "Nothing you did brought this about." in text_of(answer)


def test_the_date_of_an_entry_that_a_newer_program_wrote_is_told_as_it_is_written(
    signed_in: Browser, shelf: Shelf, settings: Settings
) -> None:
    book = shelf.takes(a_purchase(), Correction(entry=2, changes={"on": "2001"}, reason=Sealed.of("a slip")))
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as db, db:
        db.execute("DROP TRIGGER entry_update")
        db.execute("DROP TRIGGER sealed_value_delete")
        rewrite(db, 3, kind="scent", v=3, on="2024-21", body={}, sealed={})
        db.execute("UPDATE entry SET kind = 'scent' WHERE seq = 3")
        db.execute("DELETE FROM sealed_value WHERE seq = 3")
    for path in (f"/books/{book}", "/ledger/3", "/ledger"):
        answer = signed_in.get(path)
        assert answer.status_code == 200, path
        assert "2024-21" in text_of(answer), path


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ("UPDATE book_row SET cover_date = 'x'", "/collection"),
        ("UPDATE sealed_value SET salt = zeroblob(1) WHERE salt IS NOT NULL", "/books/{book}/proof"),
        ("UPDATE head SET size = 0", "/ledger/2"),
        ("DELETE FROM node", "/ledger/2"),
        ("DELETE FROM head", "/collection"),
        ("UPDATE checkpoint SET size = 99", "/ledger/2"),
        ("UPDATE entry SET leaf = x'00'", "/ledger/2"),
        ("UPDATE entry SET book_id = NULL", "/books/{book}"),
        ("DELETE FROM book_row", "/books/{book}"),
        ("DELETE FROM book_head", "/books/{book}/proof"),
        ("UPDATE entry SET book_id = 'else' WHERE seq = 2", "/ledger/2"),
    ],
)
def test_looking_at_what_was_changed_is_nobodys_fault_who_looks(
    signed_in: Browser, shelf: Shelf, ledger: Ledger, settings: Settings, change: str, path: str
) -> None:
    book = shelf.takes(a_purchase(issue=an_issue(cover_date=When.parse("1962-03"))))
    sign_checkpoint(ledger, OWNER)
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as db, db:
        for name in ("entry_update", "head_update", "head_delete", "sealed_value_update", "checkpoint_update"):
            db.execute(f"DROP TRIGGER {name}")
        assert db.execute(change).rowcount
    answer = signed_in.get(path.format(book=book))
    assert answer.status_code == 500
    assert "Run verify" in text_of(answer)

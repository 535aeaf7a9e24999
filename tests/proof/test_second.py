"""The verifier written from FORMAT.md alone says the same as ours of every record: good, tampered with, and torn by chance."""

import ast
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from ledger.proof.canonical import encode
from ledger.proof.eight import eight_words
from ledger.proof.given import key_digest
from ledger.proof.page import page_of
from ledger.proof.report import MalformedError
from tests.counts import count
from tests.proof import second
from tests.proof.agreeing import disagreements
from tests.proof.making import OTHER_COLLECTION, OTHER_SEED, OWNER
from tests.proof.mutating import mutated
from tests.proof.printed import a_pdf
from tests.proof.recording import Given, a_record
from tests.proof.second.page import page_of as page_there
from tests.proof.tamper_table import EARLIER, KINDS
from tests.proof.tampering import FORMS, GOOD, OTHER, TWICE, file, note, record_over, told_anew
from tests.proof.test_handed import another_owners

ROOT = Path(__file__).parents[2]
KEY = OWNER.verifier.vkey
WORDS = eight_words(key_digest(KEY))
RECORDS = {
    "one owner": GOOD,
    "two owners": TWICE,
    "three owners": a_record(earlier=TWICE),
    "nothing opened": a_record(shown=()),
    "all opened": a_record(shown=("seller", "price", "remark", "caption")),
    "another collection under this key": a_record(collection=OTHER_COLLECTION),
    "an earlier owner with a key of their own": a_record(earlier=another_owners(OTHER_SEED)),
    "no key named": GOOD.with_file(keys=()),
    "no entry of the collection": GOOD.with_file(collection=()),
}


def test_it_imports_nothing_of_the_ledger() -> None:
    files = sorted(Path(second.__file__).parent.glob("*.py"))
    assert len(files) >= 8
    for path in files:
        for each in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [each.module or ""] if isinstance(each, ast.ImportFrom) else []
            names += [alias.name for alias in each.names] if isinstance(each, ast.Import) else []
            inside = [name for name in names if name.split(".")[0] in ("ledger", "web", "api", "seeds", "tests")]
            assert all(name.startswith("tests.proof.second") for name in inside), path


@pytest.mark.parametrize("name", RECORDS)
@pytest.mark.parametrize("form", FORMS)
def test_both_say_the_same_of_every_record_in_every_form(name: str, form: str) -> None:
    made = FORMS[form](RECORDS[name])
    assert disagreements([(name, made)], [KEY]) == []
    assert disagreements([(name, made)], [OTHER.verifier.vkey]) == []
    assert disagreements([(name, made)], [WORDS]) == []


@pytest.mark.parametrize("form", FORMS)
def test_both_say_the_same_of_everything_that_was_tampered_with(form: str) -> None:
    for row in (*KINDS, *EARLIER):
        assert disagreements([(row.what, FORMS[form](row.change(row.start)))], [KEY], row.held) == []
        assert disagreements([(row.what, FORMS[form](row.change(row.start)))], [KEY]) == []


@pytest.mark.parametrize("name", RECORDS)
def test_the_page_that_the_page_of_formats_describes_is_ours_to_the_byte(name: str) -> None:
    given = RECORDS[name]
    assert page_there(given.data, given.beside) == page_of(given.data, given.beside)


def test_both_take_the_record_out_of_a_printed_sheet() -> None:
    assert disagreements([("printed", a_pdf(GOOD.data)), ("blank", a_pdf(b"{}"))], [KEY]) == []


ODD: list[Any] = [
    [],
    {},
    [[]],
    None,
    True,
    7,
    {"x": []},
    "x" * 5000,
    [{"entry": [], "name": {}}],
    [{"entry": True, "name": "seller"}],
]
BODIES = [
    (seq, {name: each})
    for seq, names in ((11, ("clean", "original")), (13, ("statement", "opened", "previous_head")))
    for name in names
    for each in ODD
]


@pytest.mark.parametrize("number", range(len(BODIES)))
def test_a_forger_may_put_anything_into_the_bodies_of_entries_and_neither_crashes(number: int) -> None:
    seq, changed = BODIES[number]
    body = {**GOOD.made.said[seq - 1].body, **changed}
    forged = file(keys=lambda _: (OTHER.verifier.vkey,))(
        note(lambda said: OTHER.sign(said.rpartition("\n\n")[0] + "\n"))(
            record_over(told_anew({seq: {"body": body}}))(GOOD)
        )
    )
    for form in FORMS.values():
        assert disagreements([(f"{seq} {changed}", form(forged))], [OTHER.verifier.vkey]) == []


@settings(
    max_examples=count(25, 2000),
    deadline=None,
    suppress_health_check=[HealthCheck.data_too_large, HealthCheck.too_slow],
)
@given(mutated(json.loads(TWICE.data)))
def test_both_say_the_same_of_a_record_torn_by_chance(said: Any) -> None:
    try:
        data = encode(said)
    except MalformedError:
        return
    torn = Given(data, TWICE.beside, TWICE.made)
    assert (
        disagreements([("alone", data), ("page", FORMS["page"](torn)), ("folder", FORMS["folder"](torn))], [KEY]) == []
    )


@pytest.mark.long
def test_it_takes_a_list_of_files_by_hand(tmp_path: Path) -> None:
    for name, form in FORMS.items():
        made = form(TWICE)
        if isinstance(made, bytes):
            (tmp_path / name).write_bytes(made)
    (tmp_path / "torn").write_bytes(GOOD.data[:-1])
    command = [sys.executable, "-m", "tests.proof.second", *sorted(map(str, tmp_path.iterdir())), "--key", KEY]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    assert (done.returncode, done.stderr) == (1, "")
    assert [line.partition(":")[0] for line in done.stdout.splitlines()] == ["whole", "whole", "whole", "not good"]

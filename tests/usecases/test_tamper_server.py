"""Every kind of tampering is named on a PostgreSQL server too, in the same sentences."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.proof.report import Evidence
from ledger.store.postgres_guards import SCHEMA
from tests.postgres import drop
from tests.usecases.tamper_kinds import Tampering, guard, tried
from tests.usecases.tamper_table import GUARD, KINDS
from tests.usecases.tampering_server import ServerBench, a_server_bench

GUARDS = 26
HOLLOW = (
    f"CREATE OR REPLACE FUNCTION {SCHEMA}.entry_delete() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN OLD; END'"
)
ELSEWHERE = {
    # A row of another collection is shown to nobody of this one, and touches nothing that it is shown.
    "a text of a collection that is not there",
    "a photograph of a collection that is not there",
    # What only a file has: a search with tables of its own, and triggers in that dialect.
    "a search more",
    "a trigger",
    "the table book_search_content dropped",
}
SPARE = f"CREATE TRIGGER spare BEFORE INSERT ON entry FOR EACH ROW EXECUTE FUNCTION {SCHEMA}.entry_insert()"
ON_SERVER = [
    *(each for each in KINDS if each.number != GUARDS and each.name not in ELSEWHERE),
    *tried(
        29,
        "stranger-there",
        "In the database is the server trigger AT, which this program never made; see who put it there, and take it out.",
        ("a trigger", guard(SPARE), "spare"),
    ),
    *tried(
        GUARDS,
        "guard-missing",
        GUARD,
        ("guard entry_update", guard("DROP TRIGGER entry_update ON entry"), "entry_update"),
        ("guard checkpoint_delete", guard("DROP TRIGGER checkpoint_delete ON checkpoint"), "checkpoint_delete"),
        ("a guard that guards nothing", guard(HOLLOW), "entry_delete"),
        ("row security", guard("ALTER TABLE entry DISABLE ROW LEVEL SECURITY"), "entry, row security"),
    ),
]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServerBench]:
    """Made once; each test gets a copy."""
    with a_server_bench(tmp_path_factory.mktemp("bench") / "made") as bench:
        yield bench


@pytest.fixture
def bench(made: ServerBench, tmp_path: Path) -> Iterator[ServerBench]:
    copy = made.copied(tmp_path / "copy")
    yield copy
    drop(copy.on_server)


def test_nothing_is_found_where_nothing_was_done(bench: ServerBench) -> None:
    bench.behind_its_back(lambda _db: None)
    report = bench.verified(bench.anchor)
    assert report.findings == []
    assert report.checked["entries"] == 7


@pytest.mark.parametrize("tampering", ON_SERVER, ids=str)
def test_tampering_is_named(bench: ServerBench, tampering: Tampering) -> None:
    tampering.change(bench)
    alone = bench.verified()
    assert alone.ok == tampering.anchored, alone.findings
    report = bench.verified(bench.anchor) if tampering.anchored else alone
    sentence = tampering.sentence.format(first=bench.first, second=bench.second)
    found = [each for each in report.findings if each.code == tampering.code and sentence in each.sentence]
    assert any(tampering.seq in (each.seq, None) for each in found), report.findings
    assert not tampering.anchored or {each.evidence for each in report.findings} == {Evidence.ANCHOR}

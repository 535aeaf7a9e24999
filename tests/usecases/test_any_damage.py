"""Whatever is put in the place of an entry or a value: verify finds it, and goes on to the end."""

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from ledger.proof.canonical import encode
from tests.counts import count
from tests.usecases.tampering import SIZE, Bench, put_bytes, said_by

SCALARS = [None, True, 0, 1, -1, 2**40, "", "x", "raw", "2001", "199X", "0" * 64, "purchase", "key", "photograph"]
JUNK: st.SearchStrategy[Any] = st.sampled_from(
    [*SCALARS, [], {}, [1], {"a": 1}, {"minor": 1, "currency": "USD", "exponent": 2}, [{"entry": 2, "name": "seller"}]]
)
KINDS = st.sampled_from([None, None, "key", "erasure", "photograph", "disclosure", "correction", "no-such-kind"])
VALUES = st.sampled_from(["{", "[1]", '{"a":1}', "1e5", '"\\ud800"', "[[[[", "12345678901234567890", "", "null"])


def damaged(said: Any, choose: st.DataObject, depth: int = 0) -> Any:
    """The same with one thing in it changed, taken out or added, at any depth."""
    if isinstance(said, dict) and said and (not depth or choose.draw(st.booleans())):
        name = choose.draw(st.sampled_from(sorted(said)))
        match choose.draw(st.sampled_from(["change", "change", "take out", "add"])):
            case "take out":
                return {each: value for each, value in said.items() if each != name}
            case "add":
                return {**said, "surplus": choose.draw(JUNK)}
        return {**said, name: damaged(said[name], choose, depth + 1)}
    if isinstance(said, list) and said and choose.draw(st.booleans()):
        place = choose.draw(st.integers(0, len(said) - 1))
        return [*said[:place], damaged(said[place], choose, depth + 1), *said[place + 1 :]]
    return choose.draw(JUNK)


@pytest.mark.long
@settings(max_examples=count(60, 1_000), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data(), st.integers(1, SIZE), KINDS)
def test_whatever_an_entry_says_instead_is_found(
    made: Bench, choose: st.DataObject, seq: int, kind: str | None
) -> None:
    changed: list[bool] = []

    def change(db: Any) -> None:
        said = said_by(db, seq)
        new = encode(damaged(said, choose))
        changed.append(new != encode(said))
        put_bytes(db, seq, new)
        if kind is not None:
            db.execute("UPDATE entry SET kind = ?", (kind,))

    with tempfile.TemporaryDirectory() as folder:
        bench = made.copied(Path(folder) / "copy")
        bench.behind_its_back(change)
        assume(changed[0])
        report = bench.verified(bench.anchor)
    assert report.findings
    assert report.checked["entries"] == SIZE


@pytest.mark.long
@settings(max_examples=count(15, 300), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(VALUES, st.integers(1, SIZE))
def test_whatever_stands_for_a_sealed_value_is_found(made: Bench, value: str, seq: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        bench = made.copied(Path(folder) / "copy")
        statement = "UPDATE sealed_value SET value = ? WHERE seq = ? AND value <> ?"
        bench.behind_its_back(lambda db: assume(db.execute(statement, (value, seq, value)).rowcount))
        found = bench.verified(bench.anchor).findings
    assert {(each.code, each.seq) for each in found} == {("sealed-changed", seq)}

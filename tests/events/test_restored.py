"""A restore: its rule, that it stands, its line."""

from typing import Any

import pytest

from ledger.collection import Collection
from ledger.events.restored import Restored
from ledger.events.withdrawal import Withdrawal
from ledger.history import verdict
from tests.builders import CODEC, an_entry, at, on, shut


def restored(missing: int, **changes: Any) -> Restored:
    return Restored(**{"on": on("2025-05-05"), "missing": missing, **changes})


@pytest.mark.parametrize(("missing", "anchor", "backup"), [(2, 412, 410), (0, 412, 412), (0, 410, 412), (412, 412, 0)])
def test_as_many_are_missing_as_the_anchor_counts_beyond_the_backup(missing: int, anchor: int, backup: int) -> None:
    assert list(restored(missing, anchor_size=anchor, restored_size=backup).flaws()) == []
    (problem,) = restored(missing + 1, anchor_size=anchor, restored_size=backup).flaws()
    assert (problem.rule, problem.field) == ("restored.1", "missing")


def test_without_an_anchor_the_owner_s_count_stands() -> None:
    assert list(restored(3, restored_size=410).flaws()) == []
    assert list(restored(3, anchor_size=410).flaws()) == []


def test_every_restore_is_kept() -> None:
    collection = restored(2).apply_collection(restored(0).apply_collection(Collection(id="c"), at(3)), at(8))
    assert collection.restores == (3, 8)


def test_it_cannot_be_unsaid() -> None:
    entries = [an_entry(restored(2), 1, book=None)]
    refused, _ = verdict(entries, an_entry(Withdrawal(on=on("2025-06-01"), entry=1), 2, book=None), CODEC)
    assert [problem.rule for problem in refused] == ["withdrawal.3"]


def test_its_line_tells_how_many_are_missing() -> None:
    assert (
        shut(restored(2, anchor_size=412, restored_size=410)).summary() == "Restored from a backup; 2 entries missing"
    )
    assert restored(1, anchor_size=2, restored_size=1).summary() == "Restored from a backup; one entry missing"
    assert restored(0).summary() == "Restored from a backup; no entry missing, as far as is known"

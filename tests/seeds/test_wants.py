"""The demo's wants: runs with numbers owned, missing and double, and copies looked for, met and not."""

from pathlib import Path

from ledger.bootstrap import OWNER
from ledger.settings import Settings
from ledger.usecases.runs import look_at_runs
from ledger.usecases.wants import look_at_wants
from seeds.demo import open_demo


def test_the_demo_has_runs_with_gaps_and_wants_met_and_not(tmp_path: Path) -> None:
    with open_demo(Settings(folder=str(tmp_path / "demo"))) as demo:
        runs = [run for run in look_at_runs(demo.ledger, OWNER) if run.printed is not None]
        found = look_at_wants(demo.ledger, OWNER)
    assert len(runs) == 2
    assert all(run.owned and run.missing and not run.strange for run in runs)
    assert any(run.double for run in runs)
    assert found.open
    assert any(each.is_met for each in found.wants)
    assert [run.title for run in found.runs] == ["Harbor Lamp", "The Unlit Stair"]

"""The bench of the demo is laid on any machine, whatever its clock says."""

from datetime import UTC, datetime
from pathlib import Path

from ledger.bootstrap import OWNER, open_ledger
from ledger.settings import Settings
from ledger.usecases.tools import look_at_rooms
from seeds.bench import lay_bench
from tests.fakes import FakeClock


def test_no_calibration_is_still_to_come_where_the_clock_is_years_slow(tmp_path: Path) -> None:
    clock = FakeClock(datetime(2020, 3, 1, 12, tzinfo=UTC))
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings, clock=clock) as ledger:
        lay_bench(ledger, OWNER)
        days = {tool.calibration.on for tool, _ in look_at_rooms(ledger, OWNER) if tool.calibration}
    assert days == {clock.today()}

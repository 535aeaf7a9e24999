"""Readiness says of each thing whether all is well, and what mends it where it is not."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.actor import Actor
from ledger.errors import ForbiddenError, StoreError
from ledger.held import HeldLog
from ledger.ports import Ledger
from ledger.upkeep import Done, Upkeep
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.readiness import BACKED_UP_WITHIN, LEAST_FREE, SIGNED_WITHIN, readiness
from tests.fakes import FakeClock, FakePictures
from tests.usecases.telling import OWNER, Teller


class Notes:
    """Notes of upkeep in memory."""

    def __init__(self, told: Upkeep) -> None:
        self.told = told

    def read(self) -> Upkeep:
        return self.told

    def note(self, **changes: object) -> None:
        raise AssertionError("readiness notes nothing")


class KeptOutside:
    """An anchor in memory."""

    place = "elsewhere"

    def __init__(self, note: str | None = None) -> None:
        self.note = note

    def read(self) -> str | None:
        return self.note

    def swap(self, expected: str | None, note: str | None) -> bool:
        assert expected == self.note
        self.note = note
        return True


class Disk(FakePictures):
    """A disk with so much room."""

    def __init__(self, free: int) -> None:
        super().__init__()
        self.free = free

    def room(self) -> int | None:
        return self.free


def answers(ledger: Ledger) -> dict[str, tuple[bool, str]]:
    return {each.name: (each.well, each.sentence) for each in readiness(ledger, OWNER).answers}


def done(ledger: Ledger, *, ago: timedelta = timedelta(), whole: bool = True) -> Done:
    return Done(when=ledger.clock.now() - ago, place="backups/one", size=5, whole=whole)


@pytest.fixture
def well(teller: Teller) -> Ledger:
    """A ledger of which all is well."""
    teller.buy()
    ledger = replace(teller.ledger, anchor=KeptOutside(), pictures=Disk(LEAST_FREE))
    sign_checkpoint(ledger, OWNER)
    return replace(ledger, upkeep=Notes(Upkeep(backup=done(ledger), drill=done(ledger))))


def test_all_is_well_where_it_is(well: Ledger) -> None:
    found = readiness(well, OWNER)
    assert [each for each in found.answers if not each.well] == []
    assert found.ready
    assert [each.name for each in found.answers] == ["writer", "signed", "room", "backup", "drill", "anchor"]


def test_nothing_is_said_to_somebody_who_may_not_read(well: Ledger) -> None:
    with pytest.raises(ForbiddenError):
        readiness(well, Actor(id="x", scopes=frozenset()))


def test_a_ledger_that_is_held_is_not_ready_and_says_why(well: Ledger) -> None:
    held = replace(well, log=HeldLog(well.log, "Entries are missing."))
    assert answers(held)["writer"] == (False, "Nothing is written for now: see what is said of the anchor.")
    assert not readiness(held, OWNER).ready


def test_a_store_that_has_failed_is_not_ready(well: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(_work: object) -> None:
        raise StoreError(problem="disk I/O error")

    monkeypatch.setattr(well.log, "write", failing)
    assert answers(well)["writer"][0] is False
    assert "disk I/O error" in answers(well)["writer"][1]


def test_a_checkpoint_is_missed_after_a_day_and_a_half_of_entries_and_not_before(
    well: Ledger, teller: Teller, clock: FakeClock
) -> None:
    clock.time += SIGNED_WITHIN * 2
    assert answers(well)["signed"][0], "nothing was written since"
    teller.buy()
    assert answers(well)["signed"] == (
        False,
        f"1 entries were written since the last checkpoint, {_signed(well)} UTC. Sign one.",
    )
    sign_checkpoint(well, OWNER)
    assert answers(well)["signed"] == (True, "The last checkpoint covers 3 of 3 entries.")


def _signed(ledger: Ledger) -> str:
    with ledger.log.read() as reader:
        last = reader.last_checkpoint()
    assert last is not None
    return f"{last.signed:%Y-%m-%d %H:%M}"


def test_little_room_is_told(well: Ledger) -> None:
    assert answers(replace(well, pictures=Disk(LEAST_FREE - 1)))["room"] == (
        False,
        "1.1 GB are free on the disk of the data folder. Make room before photographs fail.",
    )


@pytest.mark.parametrize(
    ("ago", "whole", "says"),
    [
        (BACKED_UP_WITHIN + timedelta(minutes=1), True, "Make another one."),
        (timedelta(), False, "Run slipsheet verify."),
    ],
)
def test_an_old_backup_and_one_that_is_not_whole_are_told(
    *, well: Ledger, ago: timedelta, whole: bool, says: str
) -> None:
    kept = Notes(Upkeep(backup=done(well, ago=ago, whole=whole), drill=done(well, whole=False)))
    found = answers(replace(well, upkeep=kept))
    assert found["backup"][0] is False
    assert found["backup"][1].endswith(says)
    assert found["drill"][0] is False


def test_what_was_never_done_is_told_with_the_command_that_does_it(teller: Teller) -> None:
    teller.buy()
    found = answers(replace(teller.ledger, upkeep=Notes(Upkeep()), anchor=KeptOutside()))
    assert {name: well for name, (well, _) in found.items()} == {
        "writer": True,
        "signed": False,
        "room": True,
        "backup": False,
        "drill": False,
        "anchor": False,
    }
    assert "slipsheet backup" in found["backup"][1]
    assert "slipsheet drill" in found["drill"][1]


def test_a_ledger_that_ends_with_the_program_needs_no_anchor(well: Ledger) -> None:
    assert answers(replace(well, anchor=None))["anchor"] == (
        True,
        "This ledger ends with the program, so no checkpoint is kept outside it.",
    )

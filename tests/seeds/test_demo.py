"""The demo: told once, reused as it was left, its token dead when it ends, its key in no file."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from ledger.actor import Permission
from ledger.bootstrap import OWNER, open_ledger
from ledger.errors import ConflictError
from ledger.events.note import Note
from ledger.market import Verdict
from ledger.ports import Ledger
from ledger.proof.checkpoint import Checkpoint
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.tools import ToolKind
from ledger.usecases.bench import look_at_bench
from ledger.usecases.checkpoint import current, sign_checkpoint
from ledger.usecases.costs import totals_of
from ledger.usecases.prospects import look_at_prospects
from ledger.usecases.rates import look_at_rates
from ledger.usecases.record import Draft, record
from ledger.usecases.tokens import bearer
from ledger.usecases.tools import expected_of
from seeds import fixed
from seeds.__main__ import lines, main
from seeds.demo import open_demo
from seeds.rates import HOME
from seeds.story._stroke import at_one_stroke
from tests.seeds.test_story import ENTRIES, ROOT


@contextmanager
def copied(folder: Path, told: Path) -> Iterator[Settings]:
    """Settings of a folder that holds what the told one does."""
    folder.mkdir()
    for name in ("slipsheet.sqlite3", "slipsheet.sqlite3-wal"):
        source = told / name
        if source.exists():
            (folder / name).write_bytes(source.read_bytes())
    yield Settings(folder=str(folder))


def _now(ledger: Ledger) -> Checkpoint:
    with ledger.log.read() as reader:
        return current(reader)


def _note(words: str) -> Draft:
    return Draft(event=Note(words=Sealed.of(words)))


def test_a_new_folder_is_told_and_a_told_one_is_left_as_it_was(tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path / "demo"))
    with open_demo(settings) as demo:
        first = _now(demo.ledger)
        record(demo.ledger, OWNER, [_note("Left here by somebody who tried the demo.")])
    assert (first.size, first.root.hex()) == (ENTRIES, ROOT)
    with open_demo(settings) as demo:
        assert _now(demo.ledger).size == ENTRIES + 1


def test_two_presses_and_a_hot_tool_lie_beside_the_ledger_and_a_load_is_in_one_of_them(tmp_path: Path) -> None:
    with open_demo(Settings(folder=str(tmp_path / "demo"))) as demo:
        bench = look_at_bench(demo.ledger, OWNER)
        assert (_now(demo.ledger).size, _now(demo.ledger).root.hex()) == (ENTRIES, ROOT)
        assert [each.kind for each in bench.tools] == [ToolKind.COLD_PRESS, ToolKind.IRON_TIP, ToolKind.HOT_PRESS]
        assert [bench.room_in(each) for each in bench.tools] == [6, None, 3]
        (expected,) = [each for load in bench.loads if (each := expected_of(load, bench.tools))]
        assert (expected.tool.name, expected.set_celsius, str(expected.celsius)) == ("Large press", "60", "57.2")


def test_most_rates_of_exchange_are_kept_and_some_are_named_as_missing(tmp_path: Path) -> None:
    with open_demo(Settings(folder=str(tmp_path / "demo"))) as demo:
        assert {(each.of, each.into) for each in look_at_rates(demo.ledger, OWNER)} >= {("USD", HOME), ("GBP", HOME)}
        found = totals_of(demo.ledger, OWNER, HOME)
        assert {each.of for each, _ in found.without_rate} >= {"DEM"}
        assert len(found.without_rate) < len(look_at_rates(demo.ledger, OWNER))


def test_the_token_may_do_everything_while_the_demo_runs_and_nothing_after_it(
    told: Ledger, told_folder: Path, tmp_path: Path
) -> None:
    with copied(tmp_path / "kept", told_folder) as settings:
        with open_demo(settings) as demo:
            actor = bearer(demo.ledger, demo.token)
            assert actor is not None
            assert all(actor.may(permission) for permission in Permission)
        with open_ledger(settings, seed=fixed.SEED) as ledger:
            assert bearer(ledger, demo.token) is None


def test_after_the_story_time_and_chance_are_the_machines(told: Ledger, told_folder: Path, tmp_path: Path) -> None:
    acts = []
    for name in ("one", "other"):
        with copied(tmp_path / name, told_folder) as settings, open_demo(settings) as demo:
            written = record(demo.ledger, OWNER, [_note("What is the time?")])
            assert abs(datetime.now(UTC) - written.entries[0].recorded) < timedelta(minutes=5)
            acts.append(written.act)
    assert acts[0] != acts[1]


def test_the_key_of_the_demo_lies_in_no_file_and_signs(told: Ledger, told_folder: Path, tmp_path: Path) -> None:
    with copied(tmp_path / "kept", told_folder) as settings, open_demo(settings) as demo:
        record(demo.ledger, OWNER, [_note("One more to sign for.")])
        assert sign_checkpoint(demo.ledger, OWNER).size == ENTRIES + 1
    for path in tmp_path.rglob("*"):
        if path.is_file():
            assert fixed.SEED not in path.read_bytes()
            assert fixed.SEED.hex().encode() not in path.read_bytes()
    assert list(tmp_path.rglob("*.key")) == []


def test_a_folder_with_a_collection_of_ones_own_is_not_touched(tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path / "own"), keys=str(tmp_path / "keys"))
    with open_ledger(settings) as ledger:
        before = _now(ledger)
    with pytest.raises(ConflictError, match="not the demo's"), open_demo(settings):
        pass
    with open_ledger(settings) as ledger:
        assert _now(ledger) == before


def test_a_folder_with_anything_else_in_it_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("not ours", encoding="utf-8")
    with pytest.raises(ConflictError, match="There is no ledger in"), open_demo(Settings(folder=str(tmp_path))):
        pass
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_story_that_breaks_off_leaves_nothing_behind(tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path / "broken"))

    def half(ledger: Ledger) -> None:
        record(ledger, OWNER, [_note("The first half.")])
        raise KeyError("the second half")

    with open_ledger(settings, seed=fixed.SEED, collection=fixed.COLLECTION) as ledger:
        before = _now(ledger)
        with pytest.raises(KeyError):
            at_one_stroke(ledger, half)
        assert _now(ledger) == before


def test_the_story_is_printed_in_one_line_an_entry_and_ends_with_its_root(
    told: Ledger, capsys: pytest.CaptureFixture[str]
) -> None:
    main()
    printed = capsys.readouterr().out.splitlines()
    assert printed == list(lines(told))
    assert len(printed) == ENTRIES + 1
    assert printed[-1].endswith(ROOT)
    assert " ".join(printed[4].split()) == "5 1996-11 2022-10-08 18:26 Bold Sextant 33 Bought: Bold Sextant 33, raw"


def test_the_chance_of_the_story_is_a_counter_through_a_hash() -> None:
    # Source: the first block by `printf 'slipsheet demo 0' | sha256sum`.
    chance = fixed.StoryChance()
    drawn = chance.bytes(16) + chance.bytes(32)
    assert drawn[:16].hex() == "ac91223adf9e6fa26c442b821afd30da"
    assert fixed.StoryChance().bytes(16) == drawn[:16]
    chance.let_go()
    assert chance.bytes(16) != chance.bytes(16)


def test_prospects_lie_beside_the_told_ledger_open_and_passed_up(tmp_path: Path) -> None:
    with open_demo(Settings(folder=str(tmp_path / "demo"))) as demo:
        found = look_at_prospects(demo.ledger, OWNER)
        assert [each.verdict for each in found] == [Verdict.PASSED_UP, Verdict.OPEN, Verdict.OPEN]
        assert [len(each.pictures) for each in found] == [0, 0, 1]
        assert sum(weight.per_mille for weight in found[-1].weights) == 1000
        assert (_now(demo.ledger).size, _now(demo.ledger).root.hex()) == (ENTRIES, ROOT)

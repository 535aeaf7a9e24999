"""stamp, cosign, cosign-key and key-chain: the ways of two people and an authority, from one folder to another and back."""

import stat
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from ledger.adapters.cosigner import seen_path
from ledger.bootstrap import OWNER, key_at_hand, open_ledger
from ledger.events.key import Action
from ledger.proof.checkpoint import origin_of
from ledger.proof.cosigned import Cosigned
from ledger.proof.key_chain import KeysFile, read_chain
from ledger.proof.report import Report
from ledger.proof.signature import open_note, parse_vkey
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, record
from ledger.usecases.rotate import Why, start_new_key
from ledger.usecases.stamps import given_note
from tests.builders import a_purchase
from tests.stamping import NAME, Authority
from web import cli

Ran = tuple[int, str, str]


@dataclass(frozen=True)
class Two:
    """A collector with a ledger, and a neighbour who cosigns; files go from one to the other."""

    run: Callable[..., Ran]
    folder: Path

    @property
    def settings(self) -> Settings:
        return Settings(folder=str(self.folder / "data"), keys=str(self.folder / "keys"))

    def owner(self, *arguments: str | Path) -> Ran:
        return self.run(*arguments, "--folder", self.settings.folder, "--keys", self.settings.keys)

    def write(self) -> None:
        """One more book, and a checkpoint over it."""
        with open_ledger(self.settings) as ledger:
            seller = Sealed.of("canary of the harbour")
            record(ledger, OWNER, [Draft(event=a_purchase(seller=seller), new_book=True)])
            sign_checkpoint(ledger, OWNER)

    @property
    def vkey(self) -> str:
        with open_ledger(self.settings) as ledger:
            found = key_at_hand(self.settings, ledger.collection)
        assert found is not None
        return found.vkey

    def path(self, name: str) -> Path:
        return self.folder / name

    def cosign(self, shown: str, out: str, *more: str) -> Ran:
        key = self.path("neighbour.key")
        return self.run(
            "cosign", self.path(shown), "--key", key, "--name", "a-neighbour", "--out", self.path(out), *more
        )


@pytest.fixture
def two(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Two:
    for name in ("SLIPSHEET_FOLDER", "SLIPSHEET_KEYS"):
        monkeypatch.delenv(name, raising=False)

    def ran(*arguments: str | Path) -> Ran:
        monkeypatch.setattr(sys, "argv", ["slipsheet", *map(str, arguments)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            cli.main()
        told = capsys.readouterr()
        assert isinstance(ended.value.code, int)
        return ended.value.code, told.out, told.err

    made = Two(ran, tmp_path)
    made.write()
    return made


def a_neighbour(two: Two) -> str:
    code, out, err = two.run("cosign-key", "--name", "a-neighbour", "--out", two.path("neighbour.key"))
    assert code == 0
    assert "keep it to yourself" in err
    return out.strip()


def test_a_time_stamp_is_asked_for_and_taken_in(two: Two) -> None:
    authority = Authority.at(two.path("authority"))
    asked = two.path("asked.tsq")
    code, out, _ = two.owner("stamp", "request", "--out", asked)
    assert (code, out) == (0, f"{asked} is for the checkpoint over 2 entries.\n")
    assert b"canary" not in asked.read_bytes()
    two.path("answer.tsr").write_bytes(authority.answer(asked.read_bytes()))
    code, out, _ = two.owner("stamp", "take", two.path("answer.tsr"), "--request", asked)
    assert code == 0
    assert out.startswith("Over 2 entries: This checkpoint existed at ")
    assert out.endswith(f", says {NAME}.\n")
    code, out, _ = two.owner("verify")
    assert code == 0
    assert "1 time stamp was not held against an authority of your choice" in out
    code, out, _ = two.owner("verify", "--authority", two.path("authority") / "root.pem")
    assert code == 0
    assert f", says {NAME}." in out


def test_verify_names_an_authority_that_did_not_give_the_stamp(two: Two) -> None:
    authority, other = Authority.at(two.path("authority")), Authority.at(two.path("other"), "Another Time")
    asked = two.path("asked.tsq")
    two.owner("stamp", "request", "--out", asked)
    two.path("answer.tsr").write_bytes(authority.answer(asked.read_bytes()))
    two.owner("stamp", "take", two.path("answer.tsr"))
    code, out, _ = two.owner("verify", "--authority", other.folder / "root.pem")
    assert code == 1
    assert f"The certificate of {NAME} does not lead to the authority that was named" in out
    code, _, err = two.owner("verify", "--authority", asked)
    assert code == 1
    assert "there is no certificate in it" in err


def test_an_answer_to_another_request_is_refused(two: Two) -> None:
    authority = Authority.at(two.path("authority"))
    first, second = two.path("first.tsq"), two.path("second.tsq")
    for each in (first, second):
        two.owner("stamp", "request", "--out", each)
    two.path("answer.tsr").write_bytes(authority.answer(first.read_bytes()))
    code, out, err = two.owner("stamp", "take", two.path("answer.tsr"), "--request", second)
    assert (code, out) == (1, "")
    assert err == "slipsheet: This time stamp answers another request than the one given with it.\n"


def test_entries_that_the_request_does_not_cover_are_told(two: Two) -> None:
    with open_ledger(two.settings) as ledger:
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
    code, out, _ = two.owner("stamp", "request", "--out", two.path("asked.tsq"))
    assert code == 0
    assert "Entries written since: 1. Sign a checkpoint first" in out


def test_a_neighbour_cosigns_twice_and_both_lines_are_taken_in(two: Two) -> None:
    vkey = a_neighbour(two)
    for since, told in ((0, "Over 2 entries: "), (2, "Over 3 entries: ")):
        assert two.owner("stamp", "request", "--since", str(since), "--out", two.path("shown.txt"))[0] == 0
        assert b"canary" not in two.path("shown.txt").read_bytes()
        code, out, err = two.cosign("shown.txt", "line.txt", *(("--of", two.vkey) if not since else ()))
        assert (code, err) == (0, "")
        assert "says that a-neighbour saw " in out
        key = ("--key", vkey) if not since else ()
        code, out, _ = two.owner("stamp", "take", two.path("line.txt"), *key)
        assert code == 0
        assert out.startswith(f"{told}This checkpoint existed at ")
        two.write()
    with open_ledger(two.settings) as ledger, ledger.log.read() as reader:
        notes = [given_note(ledger, each.note) for each in reader.checkpoints()]
    assert [open_note(each, [parse_vkey(vkey)]).verified[0].key.vkey for each in notes[:2]] == [vkey, vkey]
    assert "a-neighbour" not in notes[2]


def test_the_neighbours_key_is_theirs_alone_and_never_written_over(two: Two) -> None:
    a_neighbour(two)
    path = two.path("neighbour.key")
    before = path.read_bytes()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    code, out, err = two.run("cosign-key", "--name", "another", "--out", path)
    assert (code, out) == (1, "")
    assert "A key is never written over another" in err
    assert path.read_bytes() == before


def test_a_neighbour_needs_the_owners_key_once(two: Two) -> None:
    a_neighbour(two)
    two.owner("stamp", "request", "--since", "0", "--out", two.path("shown.txt"))
    code, _, err = two.cosign("shown.txt", "line.txt")
    assert code == 1
    assert "Give its verifier key once, as its owner told you: --of." in err
    assert not two.path("line.txt").exists()
    assert not seen_path(two.path("neighbour.key")).exists()
    assert two.cosign("shown.txt", "line.txt", "--of", two.vkey)[0] == 0
    assert two.cosign("shown.txt", "line.txt")[0] == 0


def test_a_neighbour_is_told_when_nothing_shows_how_the_ledger_grew(two: Two) -> None:
    a_neighbour(two)
    two.owner("stamp", "request", "--since", "0", "--out", two.path("shown.txt"))
    two.cosign("shown.txt", "line.txt", "--of", two.vkey)
    two.write()
    two.owner("stamp", "request", "--since", "1", "--out", two.path("later.txt"))
    code, _, err = two.cosign("later.txt", "later-line.txt")
    assert code == 1
    assert "Nothing shows how the ledger grew from the 2 entries that were cosigned last to 3." in err
    assert "slipsheet stamp request --since 2" in err
    two.owner("stamp", "request", "--since", "2", "--out", two.path("later.txt"))
    assert two.cosign("later.txt", "later-line.txt")[0] == 0
    code, _, err = two.cosign("shown.txt", "again.txt")
    assert code == 1
    assert "This checkpoint is over 2 entries, and the one cosigned last was over 3" in err
    last = Cosigned.from_bytes(seen_path(two.path("neighbour.key")).read_bytes())
    (origin,) = last.ledgers
    assert "\n3\n" in str(last.of(origin).note)


@pytest.mark.parametrize(
    ("content", "name", "told"),
    [
        ("", "a-neighbour", "it does not hold a cosigning key"),
        ("slipsheet signing key\n" + "00" * 32 + "\n", "a-neighbour", "it does not hold a cosigning key"),
        ("slipsheet cosigning key\na-neighbour\nxy\n", "a-neighbour", "it does not hold a cosigning key"),
        ("slipsheet cosigning key\na-neighbour\n" + "01" * 32 + "\n", "an-aunt", "goes by the name a-neighbour"),
    ],
)
def test_a_key_file_that_is_not_the_neighbours_is_told(two: Two, content: str, name: str, told: str) -> None:
    two.path("odd.key").write_text(content)
    two.owner("stamp", "request", "--since", "0", "--out", two.path("shown.txt"))
    code, _, err = two.run(
        *("cosign", two.path("shown.txt"), "--key", two.path("odd.key"), "--name", name, "--out", two.path("line.txt"))
    )
    assert code == 1
    assert told in err


def test_a_name_with_a_space_is_told(two: Two) -> None:
    code, _, err = two.run("cosign-key", "--name", "a neighbour", "--out", two.path("k"))
    assert code == 1
    assert "has neither space nor plus sign" in err
    assert not two.path("k").exists()


def test_the_chain_of_keys_is_written_for_whoever_holds_an_old_record(two: Two) -> None:
    with open_ledger(two.settings) as ledger:
        start_new_key(ledger, OWNER, Why(action=Action.ROTATE))
        origin = origin_of(ledger.collection)
    out = two.path("keys.json")
    code, told, _ = two.owner("key-chain", "--out", out)
    assert (code, told) == (0, f"{out} has the chain of keys.\n")
    report = Report()
    chain = read_chain(out.read_bytes(), [parse_vkey(two.vkey)], report)
    assert report.findings == []
    assert chain is not None
    assert (chain.origin, [each.handed_over for each in chain.keys]) == (origin, [True, False])
    assert len(KeysFile.from_bytes(out.read_bytes()).entries) == 2


@pytest.mark.parametrize(
    "command", [("cosign",), ("cosign-key",), ("key-chain",), ("stamp", "request"), ("stamp", "take")]
)
def test_help_of_these_fits_one_screen(two: Two, command: tuple[str, ...]) -> None:
    code, out, _ = two.run(*command, "--help")
    assert code == 0
    # Common practice, no source: a terminal opens with 24 lines of 80.
    assert len(out.splitlines()) <= 24
    assert max(map(len, out.splitlines())) <= 80

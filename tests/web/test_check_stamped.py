"""`slipsheet check` with what came from others: the chain of keys for an older record, an authority for a time stamp."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.proof.__main__ import main
from ledger.proof.forms import bag_of
from ledger.proof.page import page_of
from ledger.proof.stamped import a_request, stamped_bytes, token_of
from tests.proof.handing_over import FIRST, SECOND, WITNESS, a_house, after, chain_of, record_of
from tests.stamping import NAME, Authority
from web import cli

Run = Callable[..., tuple[int, str]]
FORMS: dict[str, Callable[[bytes], bytes]] = {
    "file": lambda record: record,
    "page": lambda record: page_of(record, {}),
    "bag": lambda record: bag_of(record, {}),
}


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """The command in this process: its exit code and what it said."""
    monkeypatch.chdir(tmp_path)

    def ran(*arguments: str) -> tuple[int, str]:
        monkeypatch.setattr(sys, "argv", ["slipsheet", "check", *arguments])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        told = capsys.readouterr()
        assert isinstance(ended.value.code, int)
        return ended.value.code, told.out + told.err

    return ran


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority.at(tmp_path_factory.mktemp("authority") / "lantern")


@pytest.mark.parametrize("form", FORMS)
def test_a_record_under_an_earlier_key_is_checked_with_the_chain(run: Run, tmp_path: Path, form: str) -> None:
    (tmp_path / "old").write_bytes(FORMS[form](record_of(a_house())))
    (tmp_path / "keys.json").write_bytes(chain_of(after()))
    code, said = run("old", "--key", SECOND.verifier.vkey)
    assert code == 1
    assert "checkpoint-other-key" in said
    code, said = run("old", "--key", SECOND.verifier.vkey, "--chain", "keys.json")
    assert code == 0
    assert said.startswith("GOOD.\n")
    assert "It is signed with an earlier key of this collection, " in said


def test_the_proofs_alone_know_the_chain_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "old.json").write_bytes(record_of(a_house()))
    (tmp_path / "keys.json").write_bytes(chain_of(after("stolen", stolen_since="2026-03-10")))
    key = ["--key", SECOND.verifier.vkey]
    assert main([str(tmp_path / "old.json"), *key, "--chain", str(tmp_path / "keys.json")]) == 1
    assert "key-stolen: It is signed with a key that was stolen, since 2026-03-10" in capsys.readouterr().out


@pytest.mark.parametrize("form", FORMS)
def test_a_time_stamp_in_a_record_is_held_against_the_authority_that_is_named(
    run: Run, tmp_path: Path, authority: Authority, form: str
) -> None:
    note = FIRST.sign(a_house().checkpoint.to_text())
    token = token_of(authority.answer(a_request(stamped_bytes(note), 5))).data
    line = WITNESS.line(a_house().checkpoint.to_text(), 1767225600)
    (tmp_path / "stamped").write_bytes(FORMS[form](record_of(a_house(), lines=[line], stamps=[token])))
    key = ("--key", FIRST.verifier.vkey)
    code, said = run("stamped", *key)
    assert code == 0
    assert "Anybody can write that: it counts once it is held against an authority" in said
    code, said = run("stamped", *key, "--authority", str(authority.folder / "root.pem"))
    assert code == 0
    assert f"This checkpoint existed at {token_of(token).time.isoformat()}, says {NAME}." in said
    assert "no second person's signature was checked" not in said
    code, said = run("stamped", *key, "--key", WITNESS.verifier.vkey)
    assert code == 0
    assert f"a-neighbour ({WITNESS.verifier.key_id.hex()}) saw the ledger so on 2026-01-01T00:00:00+00:00." in said


def test_an_authority_that_did_not_stamp_it_is_a_finding_and_a_file_that_is_none_a_wrong_call(
    run: Run, tmp_path: Path, authority: Authority
) -> None:
    other = Authority.at(tmp_path / "other", "Another Time")
    note = FIRST.sign(a_house().checkpoint.to_text())
    token = token_of(authority.answer(a_request(stamped_bytes(note), 5))).data
    (tmp_path / "stamped").write_bytes(record_of(a_house(), stamps=[token]))
    key = ("--key", FIRST.verifier.vkey)
    code, said = run("stamped", *key, "--authority", str(other.folder / "root.pem"))
    assert code == 1
    assert "stamp-refused: The certificate of Paper Lantern Time does not lead to the authority" in said
    code, said = run("stamped", *key, "--authority", "stamped")
    assert code == 2
    assert "there is no certificate in it" in said

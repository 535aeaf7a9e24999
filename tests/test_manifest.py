"""A manifest has one spelling; what is spelled otherwise is none."""

import pytest

from ledger.manifest import DATABASE_FILE, FIRST_LINE, KeptFile, Manifest, parse
from ledger.proof.checkpoint import Checkpoint, origin_of
from ledger.proof.report import MalformedError

STATE = Checkpoint(
    origin=origin_of("slipsheetslipsheetslipshee"), size=3, root=b"\1" * 32, heads_count=2, heads_root=b"\2" * 32
)
FILES = (
    KeptFile(name=DATABASE_FILE, sha256="ab" * 32, size=4096),
    KeptFile(name=f"pictures/cd/{'cd' * 32}", sha256="cd" * 32, size=7),
)
MANIFEST = Manifest(made="2026-01-02T03:04:05.000006Z", store=2, state=STATE, files=FILES)


def test_what_is_written_is_read_again() -> None:
    text = MANIFEST.to_text()
    assert text.startswith(f"{FIRST_LINE}\nmade 2026-01-02T03:04:05.000006Z\nstore 2\n{STATE.origin}\n3\n")
    assert parse(text) == Manifest(made=MANIFEST.made, store=2, state=STATE, files=tuple(sorted(FILES)))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (FIRST_LINE, "slipsheet backup 2"),
        ("made 2026-01-02", "made 02.01.2026"),
        ("store 2", "store 02"),
        ("\n3\n", "\n03\n"),
        ("heads 2", "heads 9"),
        ("pictures/cd/", "../pictures/cd/"),
        ("pictures/cd/", "/pictures/cd/"),
        (" 4096 ", " 04096 "),
        (" 4096 ", " -1 "),
        ("ab" * 32, "AB" * 32),
        (DATABASE_FILE, "other.sqlite3"),
        ("\n", "\r\n"),
    ],
)
def test_what_is_spelled_otherwise_is_refused(old: str, new: str) -> None:
    text = MANIFEST.to_text()
    assert old in text
    with pytest.raises(MalformedError):
        parse(text.replace(old, new))


def test_a_file_is_named_once_and_the_files_stand_in_order() -> None:
    lines = MANIFEST.to_text().splitlines(keepends=True)
    for text in (
        "".join([*lines, lines[-1]]),
        "".join([*lines[:-2], lines[-1], lines[-2]]),
        "".join(lines[:-1]).rstrip(),
    ):
        with pytest.raises(MalformedError):
            parse(text)


@pytest.mark.parametrize("length", range(9))
def test_one_that_is_cut_short_is_refused(length: int) -> None:
    with pytest.raises(MalformedError):
        parse("".join(MANIFEST.to_text().splitlines(keepends=True)[:length]))

"""The sheet maker: letters its fonts have, nothing asked of the machine, and a plain word where it is not installed."""

import subprocess
import sys
import unicodedata
from datetime import UTC, datetime
from pathlib import Path

import pytest

from ledger.adapters import sheets
from ledger.adapters.sheets import LETTERS, TypstSheets, writable
from ledger.errors import ConflictError

ROOT = Path(__file__).resolve().parents[2]
MADE = datetime(2025, 1, 2, 3, 4, 5, tzinfo=UTC)
SOURCE = """#let d = json("data.json")
#set document(title: d.title, date: datetime(year: 2025, month: 1, day: 2))
#set text(font: ("Libertinus Serif", "DejaVu Sans Mono"), lang: "en", fallback: false)
#d.text
"""


def test_every_letter_that_is_let_through_can_be_shown() -> None:
    """Typst itself refuses a lasting PDF with a letter that its fonts lack, so making one is the check."""
    letters = [chr(code) for first, last in LETTERS for code in range(first, last + 1)]
    there = "".join(f"{each} " for each in letters if unicodedata.category(each) not in {"Cn", "Cf"})
    made = TypstSheets().pdf(SOURCE, {"title": "T", "text": there}, {}, MADE)
    assert made.startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain", "plain"),
        ("two\nlines\tand  spaces", "two lines and spaces"),
        ("\u6f22", "[U+6F22]"),
        ("\u202eback", "[U+202E]back"),
        ("\x00\x1b", "[U+0000][U+001B]"),
        ("a" * 40, "a" * 34 + "\u200b" + "a" * 6),
    ],
)
def test_a_text_is_put_into_letters_that_can_be_shown(text: str, shown: str) -> None:
    assert writable({"of": [text, 1, None, True]}) == {"of": [shown, 1, None, True]}


def test_a_source_cannot_reach_a_file_outside_its_folder(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("secret", "utf-8")
    with pytest.raises(RuntimeError):
        TypstSheets().pdf(f'#read("{tmp_path / "secret.txt"}")', {"title": "T"}, {}, MADE)


def test_where_it_is_not_installed_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "find_spec", lambda name: None)
    assert not TypstSheets().at_hand
    with pytest.raises(ConflictError, match="not installed"):
        TypstSheets().pdf(SOURCE, {}, {}, MADE)


def test_the_program_starts_without_asking_for_it() -> None:
    code = "import sys, web.app, ledger.bootstrap; assert 'typst' not in sys.modules"
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr

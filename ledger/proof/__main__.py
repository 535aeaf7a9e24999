"""Check a record by hand: `python -m ledger.proof FILE [--key KEY] [--held CHECKPOINT_FILE] [--chain FILE]`.

FILE is a record in any of its forms: record.json, the page, the bag in its zip or unpacked into a folder, the printed
sheet as a PDF with the record attached, or the older proof file. It needs this folder, Python, rfc8785 and
cryptography, and nothing else: no ledger, no network.
"""

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from ledger.proof.reading import asked, check_path
from ledger.proof.report import MalformedError
from ledger.proof.telling import printable, told

GOOD, FOUND, UNUSABLE = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the verdict; 0 for a good record by a signer who is known, 1 for any other, 2 for a call that cannot be used."""
    given = _arguments(arguments)
    try:
        checked = check_path(given.file, asked(given.key, given.held, given.file, given.chain))
    except (MalformedError, OSError) as error:
        sys.stderr.write(f"{printable(str(error))}\n")
        return UNUSABLE
    _print(told(checked))
    return GOOD if checked.whole else FOUND


def _arguments(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m ledger.proof",
        description="Check the record of one book, without the ledger it came from.",
        epilog="Exit: 0 good and the signer known, 1 something was found or the signer is not known, 2 wrong call.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="record.json, page, bag, its folder, PDF or proof file")
    parser.add_argument(
        "--key",
        action="append",
        default=[],
        metavar="KEY",
        help="the owner's verifier key, got by another way than the file: name+id+key, its eight words, or a file "
        "that has one of the two; again for a second key",
    )
    parser.add_argument("--held", type=Path, metavar="CHECKPOINT_FILE", help="an older checkpoint you hold")
    parser.add_argument(
        "--chain",
        action="append",
        default=[],
        type=Path,
        metavar="FILE",
        help="a file of keys signed by the key at hand, for a record under a key before it; again for a second one",
    )
    return parser.parse_args(arguments)


def _print(lines: Iterator[str]) -> None:
    encoding = sys.stdout.encoding or "ascii"
    for line in lines:
        shown = printable(line).encode(encoding, "backslashreplace").decode(encoding)
        sys.stdout.write(f"{shown}\n")


if __name__ == "__main__":
    sys.exit(main())

"""`python -m tests.proof.second FILE … [--key KEY]`: the verdict on each file; ends with 1 unless all are whole."""

import argparse
import sys
from pathlib import Path

from tests.proof.second.verdict import WHOLE, verdict


def main() -> int:
    """A line for each file."""
    parser = argparse.ArgumentParser(prog="python -m tests.proof.second")
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--key", action="append", default=[])
    said = parser.parse_args()
    found = {path: verdict(path.read_bytes(), said.key) for path in said.files}
    for path, each in found.items():
        sys.stdout.write(f"{each}: {path}\n")
    return int(set(found.values()) != {WHOLE})


if __name__ == "__main__":
    sys.exit(main())

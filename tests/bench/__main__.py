"""`python -m tests.bench [NAME …]`: the table of ratios, of all files or of those named; fails where a goal is not met."""

import importlib
import pkgutil
import sys
from collections.abc import Iterator, Sequence

from tests import bench
from tests.bench.measuring import HEAD, Ratio


def registered() -> Iterator[str]:
    """Names of the files here that have rows for the table."""
    for found in pkgutil.iter_modules(bench.__path__):
        if found.name != "__main__" and hasattr(importlib.import_module(f"{bench.__name__}.{found.name}"), "ratios"):
            yield found.name


def measured(names: Sequence[str]) -> Iterator[Ratio]:
    """The rows of these files, each as soon as it is known."""
    for name in names:
        yield from importlib.import_module(f"{bench.__name__}.{name}").ratios()


def main(arguments: Sequence[str]) -> int:
    """0 if every goal is met."""
    print(HEAD)
    missed = 0
    for row in measured(arguments or sorted(registered())):
        print(row, flush=True)
        missed += not row.met
    return min(missed, 1)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

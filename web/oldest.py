"""The oldest Python that will do, in words that every older Python 3 can still read and say."""

import sys

OLDEST = (3, 11)


def refuse_old_python(version: "tuple[int, ...]" = sys.version_info[:2]) -> None:
    """A Python older than Slipsheet needs is sent home with a sentence instead of a traceback."""
    if version[:2] < OLDEST:
        sys.exit(
            "Slipsheet needs Python {0}.{1} or newer, and this is Python {2}.{3}.\n"
            "Install a newer one, then name it in the command, for instance: python{0}.{1} -m web demo".format(
                *OLDEST, *version[:2]
            )
        )

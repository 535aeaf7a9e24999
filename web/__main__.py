"""`python3 -m web demo`: the `slipsheet` command, started from nothing but Python in an environment of its own."""

import sys

from web.oldest import refuse_old_python

refuse_old_python()

from web.environment import start  # noqa: E402  an older Python cannot read that file

if __name__ == "__main__":
    sys.exit(start("web.cli", sys.argv[1:]))

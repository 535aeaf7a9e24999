"""A second verifier, written from FORMAT.md alone; it shares no line with the first one and stops at what is wrong first.

`verdict` takes what was given and verifier keys; `python -m tests.proof.second FILE … [--key KEY]` takes files.
"""

from tests.proof.second.verdict import verdict

__all__ = ["verdict"]

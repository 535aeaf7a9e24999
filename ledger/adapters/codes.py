"""QR codes, made by segno: one outside library, asked for only when a code is made.

Source: ISO/IEC 18004: level M restores some 15 % of a code that is stained or scratched; four light squares around it.
"""

import io
from typing import TYPE_CHECKING, Final

from ledger.codes import Code
from ledger.errors import MalformedError

if TYPE_CHECKING:
    import segno

__all__ = ["QUIET", "SegnoCodes"]

QUIET: Final = 4
"""Light squares on each side. Source: ISO/IEC 18004 section 6.3.8, the quiet zone."""
_LEVEL: Final = "m"


class SegnoCodes:
    """As `codes.Codes`."""

    def drawn(self, text: str) -> Code:
        """The code as one path: a rectangle for each run of dark squares in a row."""
        rows = [bytes(row) for row in _made(text).matrix_iter(border=QUIET)]
        runs = [
            f"M{start} {y}h{end - start}v1h{start - end}z" for y, row in enumerate(rows) for start, end in _runs(row)
        ]
        return Code(side=len(rows), path="".join(runs))

    def in_words(self, text: str) -> str:
        """The code in half blocks: two rows of squares in a line."""
        out = io.StringIO()
        _made(text).terminal(out=out, border=QUIET, compact=True)
        return out.getvalue().rstrip("\n")


def _made(text: str) -> "segno.QRCode":
    import segno  # noqa: PLC0415 - it takes longer to load than all the rest of a page

    try:
        return segno.make_qr(text, error=_LEVEL)
    except segno.DataOverflowError as error:
        raise MalformedError(what="The text of a code", problem="it is longer than a code can hold") from error


def _runs(row: bytes) -> list[tuple[int, int]]:
    """Where each run of dark squares begins and ends."""
    edges = [at for at in range(len(row) + 1) if (row[at - 1] if at else 0) != (row[at] if at < len(row) else 0)]
    return list(zip(edges[::2], edges[1::2], strict=True))

"""Small copies of a photograph of twelve million pixels, beside the picture library alone, which leaves out what it can.

The reference asks the decoder for a draft, scales and writes; ours keeps the copy in its folder as well.
"""

import io
import tempfile
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Final

from PIL import Image

from ledger.adapters.small_pictures import QUALITY, SmallPictures
from ledger.usecases.browse import WIDTHS
from tests.bench.measuring import Ratio, compared

SIZE: Final = (3000, 4000)
GOAL: Final = 1.3
TIMES: Final = 15


def ratios() -> Iterator[Ratio]:
    """Units: ms, the middle one of each, a row for each width that a page asks for."""
    clean = _photograph()
    name = sha256(clean).hexdigest()
    with tempfile.TemporaryDirectory() as place:
        small = SmallPictures(Path(place))
        for width in sorted(WIDTHS):
            ours, theirs = compared(
                lambda width=width: small.make(name, width, clean),  # type: ignore[misc]
                lambda width=width: bare(clean, width),  # type: ignore[misc]
                times=TIMES,
            )
            what, reference = (
                f"small copy {width} px wide of 12 million pixels",
                "the library with a draft, nothing kept",
            )
            yield Ratio(what=what, ours=ours, reference=reference, theirs=theirs, unit="ms", goal=GOAL)


def bare(clean: bytes, width: int) -> bytes:
    """As the library's own manual has it: a draft no smaller than what is wanted, then scaled with its usual filter."""
    with Image.open(io.BytesIO(clean)) as picture:
        size = width, round(picture.height * width / picture.width)
        picture.draft("RGB", (size[0] * 2, size[1] * 2))
        out = io.BytesIO()
        picture.resize(size, Image.Resampling.BICUBIC, reducing_gap=2.0).save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _photograph() -> bytes:
    """Soft noise, which costs a decoder about as much as a photograph does."""
    noise = Image.effect_noise((SIZE[0] // 4, SIZE[1] // 4), 60).resize(SIZE)
    out = io.BytesIO()
    Image.merge("RGB", (noise, noise.transpose(Image.Transpose.FLIP_TOP_BOTTOM), noise)).save(out, "JPEG", quality=90)
    return out.getvalue()

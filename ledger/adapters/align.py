"""Lines up two photographs of one face, by OpenCV: an outside library, asked for only when two are lined up.

The motion is affine. A flat sheet photographed from above with another turn and distance is a similarity, and a camera
that is not quite square to it adds a little shear, which an affine motion takes up and a drawing of SVG can show. A
homography has perspective, which a drawing cannot show; a similarity is not among the motions that ECC refines.
"""

import threading
from collections.abc import Sequence
from importlib.util import find_spec
from typing import Any, Final

from ledger.adapters.small_pictures import brightness
from ledger.alignment import Affine, Aligned, NotAligned, Reason
from ledger.errors import ConflictError

__all__ = ["OpenCvAligner"]

WIDE_MOST: Final = 1200
HIGH_MOST: Final = 1800
"""A picture is made no larger than this before anything is looked for in it, so that time and memory have an end. Units: px."""
SMALL: Final = 48
"""A shorter side has no room for places that could agree. Units: px."""
PLACES: Final = 4000
CLOSER: Final = 0.8
"""A place is matched whose next best match is at least a quarter worse.

Source: D. Lowe, Distinctive image features from scale-invariant keypoints, 2004, section 7.1."""
NEAR_PX: Final = 2.0
TRIES: Final = 5000
SURE: Final = 0.999
ROUNDS: Final = 60
ENOUGH: Final = 1e-6
SOFT: Final = 5
"""How wide brightness is smoothed before it is compared. Units: px."""
# Our assumption, all of these; tests/adapters/test_align.py tries unrelated pictures against them.
AGREEING_LEAST: Final = 30
CELLS: Final = 4
"""The earlier picture is cut into so many cells each way …"""
CELLS_LEAST: Final = 7
"""… and the places that agree lie in so many of them, and in the outer ones on opposite sides."""
LIKE_LEAST: Final = 0.6
SCALE_MOST: Final = 3.0
STRETCHED_MOST: Final = 1.08

Grey = Any
"""A picture as the library takes it: an array of brightness."""


class OpenCvAligner:
    """Finds how the later picture lies over the earlier one, where OpenCV is installed.

    Keeps: the same pictures give the same answer. One pair is worked at a time, on one processor.
    """

    def __init__(self) -> None:
        self._working = threading.Lock()

    @property
    def at_hand(self) -> bool:
        """Whether it is installed."""
        return find_spec("cv2") is not None

    def align(self, earlier: bytes, later: bytes) -> Aligned | NotAligned:
        """How they lie, or why that cannot be said.

        Requires: clean copies, or copies of them; no other file comes near a decoder here.
        Raises: ConflictError, where OpenCV is not installed.
        """
        if not self.at_hand:
            raise ConflictError(sentence="What lines photographs up is not installed here. Set two points by hand.")
        with self._working:
            return _aligned(earlier, later)


def _aligned(earlier: bytes, later: bytes) -> Aligned | NotAligned:
    import cv2  # noqa: PLC0415 - it is an extra, and large
    import numpy as np  # noqa: PLC0415 - comes with it

    cv2.setNumThreads(1)
    cv2.setRNGSeed(1)
    try:
        shown = [brightness(each, WIDE_MOST, HIGH_MOST) for each in (earlier, later)]
    except OSError:
        return NotAligned(Reason.UNREADABLE)
    below, above = (np.frombuffer(each, np.uint8).reshape(high, wide) for wide, high, each in shown)
    from_, onto = _matched(below, above, cv2, np)
    first, from_, onto = _agreed(from_, onto, cv2)
    flaw = _flaw(first, onto, below.shape, above.shape)
    refined = None if flaw else _refined(below, above, first, _sheet(from_, above.shape, cv2, np), cv2, np)
    if refined is None:
        return NotAligned(flaw or Reason.UNLIKE, len(onto))
    last, likeness = refined
    apart = _apart(last, from_, onto, np)
    if apart > NEAR_PX or not _plausible(last, below.shape, above.shape):
        return NotAligned(Reason.UNLIKE, len(onto))
    over = _in_shares(last, below.shape, above.shape)
    return Aligned(over=over, agreeing=len(onto), rms_px=apart, wide_px=int(below.shape[1]), likeness=likeness)


def _matched(below: Grey, above: Grey, cv2: Any, np: Any) -> tuple[Any, Any]:  # noqa: ANN401
    """Places of the later picture and where each may be on the earlier one. Units: px, the centre of the first at 0."""
    none = np.empty((0, 2))
    if min(*below.shape, *above.shape) < SMALL:
        return none, none
    finder = cv2.ORB_create(nfeatures=PLACES, fastThreshold=10)
    (spots, signs), (spots_above, signs_above) = (finder.detectAndCompute(each, None) for each in (below, above))
    if signs is None or signs_above is None or min(len(signs), len(signs_above)) < AGREEING_LEAST:
        return none, none
    pairs = cv2.BFMatcher(cv2.NORM_HAMMING).knnMatch(signs_above, signs, k=2)
    clear = [pair[0] for pair in pairs if len(pair) == 2 and pair[0].distance < CLOSER * pair[1].distance]  # noqa: PLR2004
    # Several places matched to one are no agreement: the closest of them stays.
    best = {each.trainIdx: each for each in sorted(clear, key=lambda each: -each.distance)}
    kept = [best[index] for index in sorted(best)]
    if not kept:
        return none, none
    from_ = np.array([spots_above[each.queryIdx].pt for each in kept], dtype=np.float64)
    return from_, np.array([spots[each.trainIdx].pt for each in kept], dtype=np.float64)


def _agreed(from_: Any, onto: Any, cv2: Any) -> tuple[Any, Any, Any]:  # noqa: ANN401
    """The way on which most places agree, and those that do; no way where there are too few of them."""
    if len(from_) < AGREEING_LEAST:
        return None, from_[:0], onto[:0]
    way, agree = cv2.estimateAffine2D(
        from_, onto, method=cv2.USAC_MAGSAC, ransacReprojThreshold=NEAR_PX, maxIters=TRIES, confidence=SURE
    )
    if way is None:
        return None, from_[:0], onto[:0]
    within = agree.ravel().astype(bool)
    return way, from_[within], onto[within]


def _flaw(way: Any, onto: Any, below: Sequence[int], above: Sequence[int]) -> Reason | None:  # noqa: ANN401
    """Why a way from picture to picture is not to be trusted."""
    if way is None or len(onto) < AGREEING_LEAST:
        return Reason.FEW
    if not _plausible(way, below, above):
        return Reason.STRETCHED
    high, wide = below[:2]
    cells = {(int(x * CELLS / wide), int(y * CELLS / high)) for x, y in onto}
    across, along = ({cell[axis] for cell in cells} for axis in (0, 1))
    spread = max(across) - min(across) >= CELLS // 2 and max(along) - min(along) >= CELLS // 2
    return None if spread and len(cells) >= CELLS_LEAST else Reason.GATHERED


def _plausible(way: Any, below: Sequence[int], above: Sequence[int]) -> bool:  # noqa: ANN401
    """No mirror, hardly any shear, and neither picture a small part of the other."""
    (a, c, right), (b, d, down) = way.tolist()
    affine = Affine(a, b, c, d, right, down)
    if a * d - b * c <= 0 or affine.stretched > STRETCHED_MOST:
        return False
    return 1 / SCALE_MOST < affine.scale * above[1] / below[1] < SCALE_MOST


def _sheet(places: Any, size: Sequence[int], cv2: Any, np: Any) -> Grey:  # noqa: ANN401
    """Where on a picture the sheet lies: between the places that agree. The table around it may be another one by now."""
    mask = np.zeros(size[:2], dtype=np.uint8)
    cv2.fillConvexPoly(mask, cv2.convexHull(np.rint(places).astype(np.int32)), 255)
    return mask


def _apart(way: Any, from_: Any, onto: Any, np: Any) -> float:  # noqa: ANN401
    """How far places lie from where they should, as a root mean square. Units: px."""
    off = from_ @ way[:, :2].T + way[:, 2] - onto
    return float(np.sqrt((off**2).sum(axis=1).mean()))


def _refined(  # noqa: PLR0913
    below: Grey,
    above: Grey,
    first: Any,  # noqa: ANN401
    sheet: Grey,
    cv2: Any,  # noqa: ANN401
    np: Any,  # noqa: ANN401
) -> tuple[Any, float] | None:
    """The way by all of the brightness on the sheet, and how alike the two then are; None where they are not."""
    back = cv2.invertAffineTransform(first).astype(np.float32)
    until = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, ROUNDS, ENOUGH)
    try:
        likeness, back = cv2.findTransformECC(below, above, back, cv2.MOTION_AFFINE, until, sheet, SOFT)
    except cv2.error:  # it does not converge
        return None
    last = cv2.invertAffineTransform(back.astype(np.float64))
    return (last, float(likeness)) if likeness >= LIKE_LEAST else None


def _in_shares(way: Any, below: Sequence[int], above: Sequence[int]) -> Affine:  # noqa: ANN401
    """The way between shares of width and height; the library counts from the centre of the first pixel, shares from its corner."""
    (a, c, right), (b, d, down) = way.tolist()
    (high, wide), (high_above, wide_above) = below, above
    right += 0.5 - 0.5 * (a + c)
    down += 0.5 - 0.5 * (b + d)
    return Affine(
        a=a * wide_above / wide,
        b=b * wide_above / high,
        c=c * high_above / wide,
        d=d * high_above / high,
        right=right / wide,
        down=down / high,
    )

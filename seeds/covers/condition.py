"""What is wrong with the demo's books, as they came and as they are now; no two are wrong in the same way."""

from collections.abc import Mapping
from types import MappingProxyType

from seeds.covers.faults import Fault


def _f(kind: str, x: float, y: float, size: float, angle: float = 0, *, breaks: bool = False) -> Fault:  # noqa: PLR0913 - the fields of a fault in one line
    return Fault(kind, "front", x, y, size, breaks, angle)


def _b(kind: str, x: float, y: float, size: float, angle: float = 0, *, breaks: bool = False) -> Fault:  # noqa: PLR0913 - the fields of a fault in one line
    return Fault(kind, "back", x, y, size, breaks, angle)


def _ticks(size: float, *places: float, breaks: bool) -> tuple[Fault, ...]:
    return tuple(_f("spine-tick", size / 2, y, size, breaks=breaks) for y in places)


_FIBRE = _f("fibre", 71, 94, 3, 30)
_HAIR = _f("hair", 88, 201, 6, 24)
_SPECK = _f("speck", 85, 114.5, 0.9, breaks=True)
_YELLOW_DOT = _f("speck", 12, 204, 1.8)
_LONG_FIBRE = _f("fibre", 98, 92, 9, -20)

BEFORE: Mapping[str, tuple[Fault, ...]] = MappingProxyType(
    {
        "raincoat-squad-1": (
            _f("bend", 124, 53, 74, 28), _f("bend", 28, 193, 31, 62), _f("waviness", 128, 196, 84),
            *_ticks(2.6, 62, 131, 168, breaks=True), _f("staple-tone", 1, 62, 9), _f("staple-tone", 1, 198, 9),
            _FIBRE, _b("surface-dirt", 78, 150, 76, 20),
        ),
        "harbor-lamp-14": (
            _f("bend", 66, 82, 58, 24), _f("corner-blunting", 183, 259, 3.2), _f("waviness", 150, 152, 62), _HAIR,
            _b("bend", 112, 168, 44, 60),
        ),
        "unlit-stair-4": (
            *_ticks(4, 41, 74, 97, 143, 181, 222, breaks=False), _f("spine-roll", 2, 130, 3), _SPECK,
            _b("pencil-mark", 40, 24, 21, -6),
        ),
        "ganymede-mail-2": (
            _f("bend", 174, 132, 22, 76), _f("indentation", 69, 194, 18, -24), _b("waviness", 92, 140, 120),
        ),
        "jungle-meridian-15": (
            _f("bend", 56, 62, 66, 40), _f("bend", 126, 142, 41, -32), _b("fold", 4, 254, 15, breaks=True),
        ),
        "gearbox-garrity-5": (_f("subscription-fold", 86, 130, 258), _f("date-mark", 148, 246, 22, -8)),
        "dumpling-and-tack-8": (
            _f("pencil-mark", 152, 16, 17, -7), _b("surface-dirt", 96, 128, 92, -14),
            _b("crease", 28, 38, 19, 48, breaks=True),
        ),
        "dumpling-and-tack-27": (_f("spine-roll", 2, 130, 2), _f("surface-dirt", 132, 182, 66, 18)),
        "dumpling-and-tack-60": (_f("date-mark", 24, 56, 17, 10), _f("fold", 166, 254, 20)),
        "dry-ford-deputy-5": (
            _f("staple-rust", 1, 62, 11), _f("staple-rust", 1, 198, 11), _f("surface-dirt", 146, 186, 70, -30),
            _f("bend", 66, 128, 64, 70), _b("indentation", 81, 98, 22, 15),
        ),
        "dry-ford-deputy-41": (
            *_ticks(3.4, 28, 55, 83, 109, 128, 152, 190, 231, breaks=False), _f("spine-roll", 2, 130, 1.5),
        ),
        "bold-sextant-33": (
            _f("spine-split", 0, 238, 9), _f("paper-tone", 92, 130, 24), _b("tide-line", 150, 250, 44),
            _b("waviness", 140, 220, 70),
        ),
        "crimson-semaphore-1974-6": (
            _f("crease", 104, 76, 46, 42, breaks=True), _f("corner-blunting", 170, 259, 6, breaks=True),
            _f("gloss-loss", 60, 180, 30), _b("abrasion", 70, 120, 14, 30, breaks=True),
        ),
        "linen-squadron-4": (_f("tear", 168, 99, 31, -7), _f("tape", 166, 99, 36, -7), _f("abrasion", 40, 224, 16, 20)),
    }
)  # fmt: skip

AFTER: Mapping[str, tuple[Fault, ...]] = MappingProxyType(
    {
        "raincoat-squad-1": (
            _f("bend", 24, 187, 9, 62), *_ticks(2.6, 62, 131, 168, breaks=True), _f("staple-tone", 1, 62, 9),
            _f("staple-tone", 1, 198, 9), _FIBRE,
        ),
        "harbor-lamp-14": (_HAIR,),
        "unlit-stair-4": (*_ticks(4, 74, 97, 143, 181, breaks=True), _f("spine-roll", 2, 130, 1), _SPECK),
        "ganymede-mail-2": (_f("indentation", 64, 192, 6, -24),),
        "gearbox-garrity-5": (_f("subscription-fold", 86, 115, 110), _f("date-mark", 148, 246, 22, -8)),
        "dumpling-and-tack-27": (_f("spine-roll", 2, 130, 2), _f("surface-dirt", 140, 178, 22, 18)),
        "dumpling-and-tack-60": (_f("date-mark", 24, 56, 17, 10), _f("fold", 169, 258, 8), _f("gloss-loss", 156, 244, 14)),
        "dry-ford-deputy-5": (_f("staple-rust", 1, 62, 9), _f("staple-rust", 1, 198, 9)),
        "dry-ford-deputy-41": (*_ticks(3, 83, 190, breaks=False), _f("spine-roll", 2, 130, 1.5)),
        "bold-sextant-33": (_f("spine-split", 0, 238, 9), _f("paper-tone", 92, 130, 24)),
        "crimson-semaphore-1974-6": (
            _f("crease", 104, 76, 46, 42, breaks=True), _f("corner-blunting", 170, 259, 6, breaks=True),
        ),
        "linen-squadron-4": (_f("crease", 168, 99, 31, -7), _f("abrasion", 40, 224, 16, 20)),
        "bold-sextant-4": (
            *_ticks(3, 38, 92, 127, 170, 214, breaks=True), _f("shadow", 181, 130, 8), _f("staple-tone", 1, 61, 9),
            _YELLOW_DOT,
        ),
        "bold-sextant-57": (_f("ink-writing", 53, 236, 58, -3), _b("corner-blunting", 183, 1, 3, breaks=True)),
        "crimson-semaphore-3": (
            _f("missing-piece", 183, 259, 7, breaks=True), _f("colour-touch", 1, 50, 61), _f("colour-touch", 14, 148, 7),
            _b("crease", 60, 90, 42, 52, breaks=True),
        ),
        "linen-squadron-20": (_f("rust-migrated", 1, 198, 10),),
        "raincoat-squad-12": (_f("edge-dent", 183, 122, 5, breaks=True), _b("bend", 64, 112, 29, 30)),
        "jungle-meridian-6": (_f("corner-blunting", 183, 1, 2.4),),
        "harbor-lamp-23": (_f("waviness", 118, 130, 96), _f("crease", 172, 248, 9, 60, breaks=True), _b("stain", 60, 80, 5)),
        "harbor-lamp-31": (_f("spine-split", 0, 251, 13), _f("ink-writing", 26, 78, 22, -5)),
        "dry-ford-deputy-18": _ticks(1.8, 86, 171, breaks=False),
        "unlit-stair-1972-5": (_f("tape-residue", 12, 8.5, 16, 4),),
        "ganymede-mail-11": (*_ticks(2.4, 44, 118, 150, 207, breaks=True), _LONG_FIBRE),
        "ganymede-mail-26": (_f("bindery-miswrap", 85, 130, 1.2), _f("surface-dirt", 124, 196, 34, 12)),
        "umbrella-for-two-3": (_f("shadow", 92, 258, 11),),
        "umbrella-for-two-16": (_b("tide-line", 122, 238, 66), _b("waviness", 100, 200, 90)),
        "umbrella-for-two-38": (_b("pest-damage", 130, 224, 22),),
    }
)  # fmt: skip

LATER: tuple[tuple[str, str, tuple[Fault, ...]], ...] = (
    (
        "crimson-semaphore-17",
        "worn",
        (
            _f("tear", 96, 8, 26, 4), _f("stain", 128, 214, 30), _f("missing-piece", 1, 259, 16, breaks=True),
            _f("subscription-fold", 92, 130, 256, breaks=True), _f("paper-tone", 92, 130, 20),
        ),
    ),
    (
        "crimson-semaphore-3",
        "second",
        (
            _f("crease", 110, 86, 30, 42, breaks=True), _f("spine-split", 0, 244, 8), _f("colour-touch", 1, 96, 44),
            _f("colour-touch", 62, 34, 9),
        ),
    ),
    (
        "linen-squadron-4",
        "second",
        (_f("crease", 156, 96, 22, 38, breaks=True), _f("bend", 48, 70, 80, 62)),
    ),
    (
        "raincoat-squad-1",
        "second",
        (
            _f("staple-rust", 1, 62, 10), _f("staple-rust", 1, 198, 11), _f("surface-dirt", 120, 190, 70, 12),
            *_ticks(2.8, 36, 88, 121, 160, 219, breaks=True),
        ),
    ),
    (
        "harbor-lamp-23",
        "second",
        (_f("waviness", 100, 170, 80), _f("tear", 120, 258, 3, breaks=True)),
    ),
    (
        "dry-ford-deputy-5",
        "second",
        (
            _f("surface-dirt", 110, 150, 74, 18), _f("bend", 44, 128, 70, 66), _f("staple-tone", 1, 62, 9),
            _f("staple-tone", 1, 198, 9),
        ),
    ),
)  # fmt: skip

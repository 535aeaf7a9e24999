"""Close-ups of marks: a few centimetres of a face, so near that the printer's dots stand apart."""

from PIL import Image, ImageChops, ImageFilter

from seeds.covers import inks, paper, pressing
from seeds.covers.faults import Frame
from seeds.covers.issues import Issue
from seeds.covers.lights import seen
from seeds.covers.plate import OVERSAMPLING, Plate
from seeds.covers.sheets import Sheet
from seeds.covers.wear import Wear
from seeds.covers.worn import DRAWINGS

NEARER = 2
_SOFTNESS = 0.9


def close_up(issue: Issue, sheet: Sheet) -> Image.Image:
    """The part of the face, with the faults and marks that lie on it, seven times nearer than the whole picture."""
    assert sheet.detail is not None
    plate = pressing.drawn(issue, sheet.face, OVERSAMPLING * NEARER)
    box = _pixels(sheet.detail, plate.scale)
    whole = Image.new("RGB", plate.key.size, paper.FIBRE)
    whole.paste(_printed(plate, issue, sheet.face, box), box[:2])
    wear = Wear(paper.bound(whole, issue, sheet.face), issue, sheet.face, sheet.light)
    for fault in sheet.faults:
        if fault.face == sheet.face:
            DRAWINGS[fault.kind](wear, fault)
    for layer in ("picture", "relief", "glow", "dark", "gone"):
        setattr(wear, layer, getattr(wear, layer).crop(box))
    return seen(wear).filter(ImageFilter.GaussianBlur(_SOFTNESS))


def _pixels(detail: Frame, scale: float) -> tuple[int, int, int, int]:
    left, top, right, bottom = (round(side * scale) for side in detail)
    return left, top, right, bottom


def _printed(plate: Plate, issue: Issue, face: str, box: tuple[int, int, int, int]) -> Image.Image:
    """The part of the plate printed, its dots as much nearer as the picture."""
    planes = [plane.crop(box) for plane in (*plate.colour.split(), plate.key)]
    shifts = [(x * NEARER, y * NEARER) for x, y in pressing.register(issue.key + face)]
    moved = [ImageChops.offset(plane, *shift) for plane, shift in zip(planes, shifts, strict=True)]
    small = paper.stock(issue, (plate.key.width // 12, plate.key.height // 12))
    sheet = small.resize(plate.key.size).crop(box)
    return inks.laid(sheet, tuple(inks.broken(plane, i, NEARER) for i, plane in enumerate(moved)))

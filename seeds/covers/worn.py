"""Puts faults on a clean face, each by its own drawing."""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from PIL import Image

from seeds.covers import faults_loss, faults_relief, faults_surface, pressing
from seeds.covers.faults import Fault
from seeds.covers.issues import Issue
from seeds.covers.lights import seen
from seeds.covers.wear import Wear

DRAWINGS: Mapping[str, Callable[[Wear, Fault], None]] = MappingProxyType(
    {
        "spine-tick": faults_relief.spine_tick,
        "bend": faults_relief.bend,
        "crease": faults_relief.crease,
        "subscription-fold": faults_relief.subscription_fold,
        "fold": faults_relief.fold,
        "corner-blunting": faults_relief.corner_blunting,
        "edge-dent": faults_relief.edge_dent,
        "indentation": faults_relief.indentation,
        "waviness": faults_relief.waviness,
        "spine-roll": faults_relief.spine_roll,
        "surface-dirt": faults_surface.surface_dirt,
        "pencil-mark": faults_surface.pencil_mark,
        "ink-writing": faults_surface.ink_writing,
        "date-mark": faults_surface.date_mark,
        "abrasion": faults_surface.abrasion,
        "gloss-loss": faults_surface.gloss_loss,
        "stain": faults_surface.stain,
        "tide-line": faults_surface.tide_line,
        "shadow": faults_surface.shadow,
        "paper-tone": faults_surface.paper_tone,
        "tape": faults_surface.tape,
        "tape-residue": faults_surface.tape_residue,
        "staple-rust": faults_surface.staple_rust,
        "staple-tone": faults_surface.staple_rust,
        "rust-migrated": faults_surface.staple_rust,
        "mould": faults_surface.mould,
        "colour-touch": faults_surface.colour_touch,
        "fibre": faults_surface.fibre,
        "hair": faults_surface.hair,
        "speck": faults_surface.speck,
        "tear": faults_loss.tear,
        "spine-split": faults_loss.spine_split,
        "missing-piece": faults_loss.missing_piece,
        "pest-damage": faults_loss.pest_damage,
        "bindery-miswrap": faults_loss.bindery_miswrap,
    }
)
"""By the word for the fault. Colour touch is earlier work, and fibre, hair and speck are marks: they are drawn alike."""

_FIRST = "bindery-miswrap"


def worn(issue: Issue, faults: Sequence[Fault], face: str, light: str) -> Image.Image:
    """The face with those of the faults that lie on it, in a light."""
    wear = Wear(pressing.clean(issue, face), issue, face, light)
    here = [fault for fault in faults if fault.face == face]
    for fault in sorted(here, key=lambda each: each.kind != _FIRST):
        DRAWINGS[fault.kind](wear, fault)
    return seen(wear)

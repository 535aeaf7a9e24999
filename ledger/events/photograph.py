"""photograph: a picture of the book by the digest of its bytes, with what it shows and in what light."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, measure, sealed
from ledger.events._parts import Face, Holding, Light
from ledger.events._spelling import digest
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book

WHOLE = 100


@dataclass(frozen=True, kw_only=True)
class Crop:
    """The part of a group picture that shows this book, in per cent of its width and height from the upper left."""

    x_percent: int = fact("From the left", "Units: per cent.", ge=0, le=99)
    y_percent: int = fact("From the top", "Units: per cent.", ge=0, le=99)
    width_percent: int = fact("Width", "Units: per cent.", ge=1, le=100)
    height_percent: int = fact("Height", "Units: per cent.", ge=1, le=100)

    @property
    def lies_inside(self) -> bool:
        """It does not reach over the edge of the picture."""
        return self.x_percent + self.width_percent <= WHOLE and self.y_percent + self.height_percent <= WHOLE


@dataclass(frozen=True, kw_only=True)
class Photograph(Event):
    """A picture of the book was taken; `on` is when.

    Keeps: the digest of the bytes as they came and of the clean copy, from which place and device were taken out.

    Rules: 1 the part of a group picture lies inside it. 2 A defect it shows has been named by an examination before.
    3 The same picture is entered once for a book, unless it shows another part. 4 The inside of a slabbed book can be
    photographed only after an opening.
    """

    kind: ClassVar[str] = "photograph"
    title: ClassVar[str] = "Photograph"
    lane: ClassVar[Lane] = Lane.PAPERS

    original: str = digest("Original", "The bytes as they came.")
    clean: str = digest("Clean copy", "The copy without place and device.")
    face: Face = fact("Face", default=Face.FRONT)
    light: Light = fact("Light", default=Light.NORMAL)
    width_px: int | None = fact("Width", "Units: px.", default=None, ge=1, le=100_000)
    height_px: int | None = fact("Height", "Units: px.", default=None, ge=1, le=100_000)
    scale_px_per_mm: str | None = measure("Scale", "px/mm")
    region: Crop | None = fact("Part of the picture", "For a group picture; null is the whole.", default=None)
    of_defect: str | None = fact("Shows defect", "Id of the defect.", default=None, pattern=r"^[a-z][a-z0-9-]{0,23}$")
    caption: Sealed[str] = sealed("Caption", shown=True)
    file_name: Sealed[str] = sealed("File name")

    def flaws(self) -> Iterator[Problem]:
        """Rule 1."""
        yield from super().flaws()
        if self.region is not None and not self.region.lies_inside:
            yield self.rule(
                1, "The part reaches over the edge of the picture. Keep start and size within 100 %.", "region"
            )

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 2, 3 and 4."""
        if self.of_defect is not None and self.of_defect not in book.defects:
            yield self.rule(
                2, f"No examination before has named defect {self.of_defect}. Enter the examination first.", "of_defect"
            )
        if self.clean in book.photographs and self.region is None:
            yield self.rule(3, "This picture is already entered for this book. Once is enough.", "clean")
        if self.face is Face.INSIDE and book.holding is Holding.SLABBED:
            yield self.rule(
                4, "The book is slabbed at that time; its inside is not seen. Write the opening first.", "face"
            )

    def apply(self, book: "Book", at: At) -> "Book":
        """One picture more; the newest whole front in normal light is the cover."""
        book = replace(book, photographs=(*book.photographs, self.clean))
        whole = self.region is None and self.of_defect is None
        front = self.face is Face.FRONT and self.light is Light.NORMAL
        return replace(book, cover=self.clean) if whole and front else book

    def summary(self) -> str:
        """What it shows and in what light."""
        shown = f"{self.face}, {self.light} light"
        shown += f", defect {self.of_defect}" if self.of_defect else ""
        return f"Photograph: {shown}" + (", part of a group picture" if self.region else "")

"""What the logger in the house told at the end of its first year."""

from collections.abc import Iterator

from seeds.climate import logged
from seeds.story._acts import Act, act


def acts() -> Iterator[Act]:
    """Its file was taken in for both rooms."""
    yield act(None, "2026-11-22 19:05", *logged())

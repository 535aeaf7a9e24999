"""Taking out and bringing in holds a piece of a photograph and no more, however large it is."""

import tracemalloc
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Final

import pytest

from ledger.keeping.bring_in import bring_in
from ledger.keeping.take_out import take_out_to
from tests.keeping.conftest import House

LARGE: Final = 160 * 2**20
MOST: Final = 16 * 2**20
"""Units: bytes."""


def large_picture(house: House) -> str:
    """A file of the photographs' folder that is larger than any photograph may be."""
    hashed = sha256()
    for _ in range(LARGE // 2**20):
        hashed.update(bytes(2**20))
    name = hashed.hexdigest()
    path = Path(house.settings.folder) / "pictures" / name[:2] / name
    path.parent.mkdir(exist_ok=True)
    with path.open("wb") as file:
        file.truncate(LARGE)
    return name


def peak(work: Callable[[], object]) -> int:
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.mark.long
def test_memory_stays_flat_with_a_large_photograph(plain_house: House) -> None:
    name = large_picture(plain_house)
    path, place = plain_house.around / "all.zip", plain_house.elsewhere("back")
    # Once without measuring, so that what is loaded by the way does not count.
    take_out_to(plain_house.settings, plain_house.around / "first.zip")
    assert peak(lambda: take_out_to(plain_house.settings, path)) < MOST
    assert path.stat().st_size > LARGE
    assert peak(lambda: bring_in(path, place)) < MOST
    assert (Path(place.folder) / "pictures" / name[:2] / name).stat().st_size == LARGE

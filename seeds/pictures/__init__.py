"""The demo's pictures, drawn by seeds/draw.py and kept beside this file."""

from pathlib import Path

FOLDER = Path(__file__).parent
_SUFFIX = ".png"


def read_picture(name: str) -> bytes:
    """The bytes of a kept picture, by its file name or by words: "KEY", "KEY before", "KEY back".

    The key alone is the book as it came: before any work, if there was work.
    Raises: FileNotFoundError, if no such picture is kept.
    """
    if name.endswith(_SUFFIX):
        return (FOLDER / name).read_bytes()
    key, _, label = name.partition(" ")
    labels = (label.replace(" ", "-"),) if label else ("before", "after")
    names = [f"{key}-{each}{_SUFFIX}" for each in labels]
    found = [FOLDER / each for each in names if (FOLDER / each).is_file()]
    if not found:
        raise FileNotFoundError(
            f"No picture {' or '.join(names)} in {FOLDER.name}; python -m seeds.draw draws them all."
        )
    return found[0].read_bytes()

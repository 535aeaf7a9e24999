"""Files that are two things at once, and pages and drawings under the name of a picture."""

import gzip
import io
import zipfile
from collections.abc import Iterator

from tests.hostile import CANARY, SCRIPT, End, Hostile, chunk, drawn, jpeg_with, plain, png_with, segment, written


def files() -> Iterator[Hostile]:
    """All of them: what is no picture is refused; of what is one, only the picture is shown."""
    for name, data in plain().items():
        for other, more in _others().items():
            yield Hostile(f"{name} with {other} behind it", data + more, End.TAKEN)
    for other, more in _others().items():
        yield Hostile(f"{other} with a jpeg behind it", more + plain()["jpeg"], End.REFUSED)
        yield Hostile(f"{other} alone", more, End.REFUSED)
        if len(more) < 60_000:
            yield Hostile(f"jpeg with {other} in a comment", jpeg_with(segment(0xFE, more)), End.TAKEN)
            yield Hostile(f"jpeg with {other} in an application segment", jpeg_with(segment(0xE5, more)), End.TAKEN)
        yield Hostile(f"png with {other} in a chunk of its own", png_with(chunk(b"pgNt", more)), End.TAKEN)
    gif = bytearray(written(drawn((32, 32)), "GIF"))
    # The size of the picture is read as the beginning of a comment of a script.
    gif[6:10] = b"/*\0\0"
    yield Hostile("gif that is a script", bytes(gif) + b"*/=1;alert('" + CANARY + b"')", End.REFUSED)
    yield Hostile("script with the signature of a gif", b"GIF89a=1;alert('" + CANARY + b"')//", End.REFUSED)
    yield Hostile("bmp that is a script", b"BM=1;alert('" + CANARY + b"')//", End.REFUSED)


def _others() -> dict[str, bytes]:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("../../canary.html", SCRIPT)
    drawing = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><text>' + CANARY + b"</text></svg>"
    return {
        "an archive": out.getvalue(),
        "a page": SCRIPT,
        "a drawing": drawing,
        "a drawing with a prologue": b'<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "aa">]>' + drawing,
        "a packed drawing": gzip.compress(drawing, mtime=0),
        "a document": b"%PDF-1.7\n1 0 obj<</S/JavaScript/JS(" + CANARY + b")>>endobj\n%%EOF",
        "a program": b"#!/bin/sh\necho " + CANARY,
    }

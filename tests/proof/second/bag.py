"""FORMAT.md section 14: the bag made anew, and a zip in which no byte belongs to nothing."""

import struct
import zlib
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from tests.proof.second.page import all_earlier, block
from tests.proof.second.plain import wrong
from tests.proof.second.record import pieces_of, record_of
from tests.proof.second.signed import base64_of

MOST_FILES, MOST_BYTES = 4096, 1_073_741_824
LOCAL, CENTRAL, END = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"


def files_of(data: bytes, beside: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of the bag of a record."""
    said = record_of(data)
    earlier: dict[str, dict[str, Any]] = {}
    all_earlier(said, beside, earlier)
    found = {"data/record.json": data, "data/how-to-check.txt": block("how-to-check").encode()}
    found["data/sheet.txt"] = "".join(f"{each}\n" for each in pieces_of(said["sheet"])).encode()
    for place, each in enumerate(said["proof"]["entries"], 1):
        found[f"data/entries/{place:06}.json"] = base64_of(each["bytes"])
    for one in (said, *earlier.values()):
        for each in one["pictures"]:
            ending = {"image/jpeg": "jpg", "image/png": "png"}[each["media"]]
            if each["sha256"] not in beside:
                wrong("a photograph is missing")
            found[f"data/photographs/{each['sha256']}.{ending}"] = beside[each["sha256"]]
    found |= {f"data/earlier/{name}.json": beside[name] for name in earlier}
    tags = {
        "bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "manifest-sha256.txt": listing(found),
        "bag-info.txt": (
            f"Bag-Software-Agent: slipsheet\nExternal-Identifier: {sha256(data).hexdigest()}\n"
            f"Payload-Oxum: {sum(map(len, found.values()))}.{len(found)}\n"
        ).encode(),
    }
    return {**found, **tags, "tagmanifest-sha256.txt": listing(tags)}


def listing(files: Mapping[str, bytes]) -> bytes:
    """Digest and name of each."""
    return "".join(f"{sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files)).encode()


def record_in(files: Mapping[str, bytes]) -> tuple[bytes, dict[str, bytes]]:
    """The record in a bag and what lies beside it."""
    if "data/record.json" not in files:
        wrong("no record in the bag")
    beside = {
        name.split("/")[-1].split(".")[0]: data
        for name, data in files.items()
        if name.startswith(("data/photographs/", "data/earlier/")) and not name.endswith("/")
    }
    return files["data/record.json"], beside


def need_bag(files: Mapping[str, bytes], record: bytes, beside: Mapping[str, bytes]) -> None:
    """All files are those that the record gives, and there is no other."""
    if files_of(record, beside) != {name: data for name, data in files.items() if not name.endswith("/")}:
        wrong("other files than the record gives")


def unzipped(data: bytes) -> dict[str, bytes]:
    """The files of a zip, walked from its first byte to its last."""
    end = len(data) - 22
    if end < 0 or data[end : end + 4] != END:
        wrong("no end, or a comment behind it")
    _, disk, other, here, count, size, start, words = struct.unpack("<4s4H2IH", data[end:])
    if disk or other or words or here != count or start + size != end or not 0 < count <= MOST_FILES:
        wrong("an end that lies")
    entries, at = [], start
    for _ in range(count):
        if data[at : at + 4] != CENTRAL or at + 46 > end:
            wrong("the directory is broken")
        fields = struct.unpack("<4s6H3I5H2I", data[at : at + 46])
        name, extra, comment = fields[10], fields[11], fields[12]
        entries.append((fields, data[at + 46 : at + 46 + name]))
        at += 46 + name + extra + comment
    if at != end or sum(fields[9] for fields, _ in entries) > MOST_BYTES:
        wrong("the directory is broken, or too much is announced")
    return placed(data, sorted(entries, key=lambda each: each[0][16]), start)


def placed(data: bytes, entries: list[tuple[Any, bytes]], start: int) -> dict[str, bytes]:
    """The files in the order in which they lie; a folder's name ends with a slash."""
    found: dict[str, bytes] = {}
    at, top = 0, entries[0][1].split(b"/")[0]
    for fields, raw in entries:
        name = name_of(raw, fields, top)
        if fields[16] != at or name in found:
            wrong("a gap, or a name twice")
        found[name], at = content_of(data, at, fields, raw)
    if at != start:
        wrong("bytes that belong to nothing")
    found.pop("", None)
    return found


def name_of(raw: bytes, fields: Any, top: bytes) -> str:
    """A name below the one folder."""
    try:
        name = raw.decode("utf-8" if fields[3] & 0x800 else "cp437")
    except UnicodeDecodeError:
        wrong("no name")
    parts = name.removesuffix("/").split("/")
    if {"", ".", ".."} & set(parts) or "\\" in name or ":" in parts[0] or not name.isprintable():
        wrong("a name that leads elsewhere")
    if raw.split(b"/")[0] != top or "/" not in name or fields[3] & 1:
        wrong("outside, or encrypted")
    kind = fields[15] >> 28 if fields[1] >> 8 == 3 else 0
    if kind not in (0, 8, 4) or (name.endswith("/") and fields[9]):
        wrong("a link, or a folder with content")
    return name.partition("/")[2]


def content_of(data: bytes, at: int, fields: Any, raw: bytes) -> tuple[bytes, int]:
    """What a file holds, and where the next one begins."""
    _, _, _, flags, method, _, _, crc, packed, size = fields[:10]
    if data[at : at + 4] != LOCAL or at + 30 > len(data):
        wrong("no file there")
    _, _, flags_here, method_here, _, _, crc_here, packed_here, size_here, name, extra = struct.unpack(
        "<4s5H3I2H", data[at : at + 30]
    )
    later = bool(flags & 8)
    if (flags_here, method_here) != (flags, method) or data[at + 30 : at + 30 + name] != raw:
        wrong("two headers that differ")
    if not later and (crc_here, packed_here, size_here) != (crc, packed, size):
        wrong("two headers that differ")
    begin = at + 30 + name + extra
    inside = data[begin : begin + packed]
    if method == 8:
        unpacking = zlib.decompressobj(-15)
        try:
            content = unpacking.decompress(inside, size + 1)
        except zlib.error:
            wrong("packed otherwise")
        if not unpacking.eof or unpacking.unused_data:
            wrong("more than it says")
    elif method == 0:
        content = inside
    else:
        wrong("packed otherwise")
    if len(inside) != packed or len(content) != size or zlib.crc32(content) != crc:
        wrong("another size or checksum")
    behind = begin + packed
    if later:
        behind += 16 if data[behind : behind + 4] == b"PK\x07\x08" else 12
    return content, behind

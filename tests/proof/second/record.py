"""FORMAT.md sections 10 to 12: the record, its sheet, and what is checked in it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from tests.proof.second.book import HEX, Entry, check_book, entry_in
from tests.proof.second.plain import WrongError, matching, named, read, texts, whole, write, wrong
from tests.proof.second.signed import Key, base64_of, key_of
from tests.proof.second.stamp import need_stamp

MOST = 67_108_864
LENGTH = r"(0|[1-9][0-9]{0,3})(\.[0-9]{1,2})?"
BLOCKS = {
    "words": ("lines", "listed"),
    "facts": ("rows",),
    "table": ("head", "rows"),
    "work": ("heading", "lines"),
    "picture": ("sha256", "words"),
    "map": ("width", "height", "folds", "spots", "words"),
}


@dataclass
class Found:
    """A record that holds: whether a key from elsewhere signed it, and the verdicts on earlier ones."""

    known: bool
    earlier: list["Found | None"] = field(default_factory=list)
    """None for one in which something was found."""


def record_of(data: bytes) -> dict[str, Any]:
    """Section 10: the form of the file."""
    if len(data) > MOST:
        wrong("too large")
    said = named(read(data), "collection", "earlier", "format", "keys", "pictures", "proof", "sheet", "stamps")
    if said["format"] != "slipsheet-record/1" or not isinstance(said["collection"], list):
        wrong("no record")
    for each in texts(said["earlier"]):
        matching(each, HEX)
    for picture in pictures_of(said):
        matching(picture["sha256"], HEX)
        whole(picture["size"])
        if picture["media"] not in ("image/jpeg", "image/png"):
            wrong("no picture")
    need_once(said["earlier"])
    need_once([each["sha256"] for each in said["pictures"]])
    texts(said["keys"])
    for each in texts(said["stamps"]):
        base64_of(each)
    list(pieces_of(said["sheet"]))
    return said


def need_once(names: list[str]) -> None:
    """Nothing is named twice."""
    if len(set(names)) != len(names):
        wrong("named twice")


def pictures_of(said: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The list of photographs."""
    if not isinstance(said["pictures"], list):
        wrong("no list")
    return [named(each, "media", "sha256", "size") for each in said["pictures"]]


def blocks_of(sheet: Any) -> Iterator[tuple[dict[str, Any] | None, dict[str, Any]]]:
    """Each section with each of its blocks, once with none before them."""
    said = named(sheet, "format", "title", "lead", "sections")
    if said["format"] != "slipsheet-sheet/1" or not isinstance(said["sections"], list):
        wrong("no sheet")
    for section in said["sections"]:
        named(section, "id", "title", "blocks")
        matching(section["id"], r"[a-z][a-z-]{0,30}")
        if not isinstance(section["blocks"], list):
            wrong("no blocks")
        yield None, section
        for block in section["blocks"]:
            if not isinstance(block, dict) or block.get("kind") not in list(BLOCKS):
                wrong("no block")
            named(block, "kind", *BLOCKS[block["kind"]])
            yield block, section


def pieces_of(sheet: Any) -> Iterator[str]:
    """Section 11: every piece of text in its order; the shape is looked at on the way."""
    found = list(blocks_of(sheet))
    yield from texts([sheet["title"], sheet["lead"]])
    for block, section in found:
        yield from texts([section["title"]]) if block is None else block_pieces(block)


def block_pieces(block: dict[str, Any]) -> list[str]:
    """The pieces of one block."""
    kind = block["kind"]
    if kind == "words":
        if not isinstance(block["listed"], bool):
            wrong("neither true nor false")
        return texts(block["lines"])
    if kind in ("facts", "table"):
        head = texts(block["head"]) if kind == "table" else ["", ""]
        if not isinstance(block["rows"], list) or any(len(texts(row)) != len(head) for row in block["rows"]):
            wrong("rows of another length")
        return [*(head if kind == "table" else []), *(cell for row in block["rows"] for cell in row)]
    if kind == "work":
        return texts([block["heading"], *texts(block["lines"])])
    if kind == "picture":
        matching(block["sha256"], HEX)
        return texts([block["words"]])
    return map_pieces(block)


def map_pieces(block: dict[str, Any]) -> list[str]:
    """A drawing's numbers and words."""
    for each in (block["width"], block["height"], *texts(block["folds"])):
        matching(each, LENGTH)
    if not isinstance(block["spots"], list):
        wrong("no spots")
    for spot in block["spots"]:
        named(spot, "label", "x", "y", "to_x", "to_y", "shape", "solid")
        point = spot["shape"] == "point"
        if spot["shape"] not in ("point", "line", "area") or not isinstance(spot["solid"], bool):
            wrong("no spot")
        if point and (spot["to_x"], spot["to_y"]) != ("", ""):
            wrong("a point has no end")
        for name in ("x", "y") if point else ("x", "y", "to_x", "to_y"):
            matching(spot[name], LENGTH)
    return texts([*(spot["label"] for spot in block["spots"]), block["words"]])


def check(  # what is checked, with what, how deep
    data: bytes,
    beside: Mapping[str, bytes] | None,
    keys: list[Key],
    held: str | None = None,
    met: set[str] | None = None,
    depth: int = 0,
) -> Found:
    """Section 12; `beside` is None for a form that has nothing beside it."""
    said = record_of(data)
    named_keys = [key_of(text) for text in said["keys"]]
    origin = origin_in(said["proof"])
    if depth and not any((key.name, key.kind) == (origin, 1) for key in keys):
        own: list[Key] = []
    else:
        own = keys
    point, entries = check_book(said["proof"], own or named_keys, held)
    for text in said["stamps"]:
        need_stamp(base64_of(text), said["proof"]["checkpoint"])
    if named_keys and not set(point.signers) & set(named_keys):
        wrong("it names another key")
    last = 0
    for each in said["collection"]:
        entry = entry_in(each, point)
        if entry.said["book"] is not None or entry.said["seq"] <= last:
            wrong("no entry of the collection")
        last = entry.said["seq"]
    need_end(said["sheet"], entries)
    need_pictures(said, entries, beside)
    return Found(bool(own), list(earlier_of(said, entries, beside, keys, met if met is not None else set(), depth)))


def origin_in(proof: Any) -> str:
    """The name under which a record's checkpoint goes, as it says itself."""
    note = proof.get("checkpoint") if isinstance(proof, dict) else None
    return note.partition("\n")[0] if isinstance(note, str) else ""


def need_end(sheet: Any, entries: list[Entry]) -> None:
    """Step 5."""
    *before, last = entries
    body = last.said["body"]
    if last.said["kind"] != "disclosure" or body.get("statement") != sha256(write(sheet)).hexdigest():
        wrong("the words are others")
    if body.get("previous_head") != (before[-1].leaf if before else None):
        wrong("made over another entry")
    opened = {(entry.said["seq"], name) for entry in before for name in entry.opened}
    listed = body.get("opened")
    said = {
        (each["entry"], each["name"])
        for each in (listed if isinstance(listed, list) else [])
        if isinstance(each, dict) and isinstance(each.get("entry"), int) and isinstance(each.get("name"), str)
    }
    if opened != said:
        wrong("other fields are opened")


def spoken_of(entries: list[Entry], kind: str, *names: str) -> set[str]:
    """What entries of a kind name."""
    said = [entry.said["body"].get(name) for entry in entries if entry.said["kind"] == kind for name in names]
    return {each for each in said if isinstance(each, str)}


def need_pictures(said: Mapping[str, Any], entries: list[Entry], beside: Mapping[str, bytes] | None) -> None:
    """Step 6."""
    for each in said["pictures"]:
        name = each["sha256"]
        if name not in spoken_of(entries, "photograph", "clean", "original"):
            wrong("nobody speaks of a photograph")
        if beside is None:
            continue
        data = beside.get(name)
        if data is None or sha256(data).hexdigest() != name or len(data) != each["size"]:
            wrong("a photograph is missing or another one")
        begins = {"image/jpeg": "ffd8", "image/png": "89504e470d0a1a0a"}[each["media"]]
        if not data.hex().startswith(begins):
            wrong("a photograph of another kind")
    shown = {block["sha256"] for block, _ in blocks_of(said["sheet"]) if block and block["kind"] == "picture"}
    if not shown <= {each["sha256"] for each in said["pictures"]}:
        wrong("a photograph is shown that does not come along")


def earlier_of(
    said: Mapping[str, Any],
    entries: list[Entry],
    beside: Mapping[str, bytes] | None,
    keys: list[Key],
    met: set[str],
    depth: int,
) -> Iterator[Found | None]:
    """Step 7."""
    for name in said["earlier"]:
        if name not in spoken_of(entries, "earlier", "record"):
            wrong("nobody speaks of an earlier record")
        data = (beside or {}).get(name)
        if data is None and beside is None:
            continue
        if data is None or sha256(data).hexdigest() != name:
            wrong("an earlier record is missing")
        if name in met:
            continue
        if depth >= 16:
            wrong("too deep")
        met.add(name)
        try:
            found: Found | None = check(data, beside, keys, None, met, depth + 1)
        except WrongError:
            found = None
        yield found

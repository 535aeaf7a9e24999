"""FORMAT.md section 18: what a time stamp is of; whether its signature holds is for whoever knows its authority."""

from hashlib import sha256

from tests.proof.second.plain import wrong

SIGNED_DATA = bytes.fromhex("06092a864886f70d010702")
TST_INFO = bytes.fromhex("060b2a864886f70d0109100104")
SHA_256 = bytes.fromhex("0609608648016503040201")
Value = tuple[int, bytes, bytes]
"""Tag, content, and both with the length between."""


def values_in(data: bytes) -> list[Value]:
    """The values that stand one after another. Source: ITU-T X.690 section 8.1."""
    found: list[Value] = []
    at = 0
    while at < len(data):
        if at + 2 > len(data):
            wrong("half a value")
        length, begin = data[at + 1], at + 2
        if length & 0x80:
            octets = length & 0x7F
            if not 0 < octets <= 4 or begin + octets > len(data):
                wrong("no length")
            length, begin = int.from_bytes(data[begin : begin + octets], "big"), begin + octets
        if begin + length > len(data):
            wrong("a value beyond the end")
        found.append((data[at], data[begin : begin + length], data[at : begin + length]))
        at = begin + length
    return found


def within(value: Value, tag: int, least: int) -> list[Value]:
    """The values in one of that tag."""
    found = values_in(value[1]) if value[0] == tag else []
    if len(found) < least:
        wrong("no time stamp")
    return found


def need_stamp(data: bytes, note: str) -> None:
    """It is a token over this checkpoint."""
    (whole, *more) = values_in(data) or wrong("nothing")
    kind, inner, *others = within(whole, 0x30, 2)
    if more or others or kind[2] != SIGNED_DATA:
        wrong("no signed data")
    signed = within(within(inner, 0xA0, 1)[0], 0x30, 4)
    what, held = within(signed[2], 0x30, 2)[:2]
    if what[2] != TST_INFO:
        wrong("no time stamp")
    content = within(held, 0xA0, 1)[0]
    if content[0] != 0x04:
        wrong("no time stamp")
    (said,) = values_in(content[1])[:1] or wrong("nothing")
    how, imprint = within(within(said, 0x30, 5)[2], 0x30, 2)[:2]
    if within(how, 0x30, 1)[0][2] != SHA_256 or imprint[0] != 0x04 or imprint[1] != stamped(note):
        wrong("of something else")


def stamped(note: str) -> bytes:
    """The digest of the note without what others added."""
    text, _, lines = note.rpartition("\n\n")
    origin = text.partition("\n")[0]
    own = [line for line in lines.splitlines(keepends=True) if line.split(" ")[1:2] == [origin]]
    return sha256(f"{text}\n\n{''.join(own)}".encode()).digest()

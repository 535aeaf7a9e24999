"""Nothing that is sealed and was not chosen is anywhere in a record, in any form of it, however deep one looks.

The canary is sealed in every field that has room for it, and stands in the photographs as they came: in what they tell of
place, device and maker, and in their thumbnails.
"""

import io
import re
import zlib
from base64 import b64decode, b64encode
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pytest
from PIL import Image

from ledger.events._parts import Face
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.proof.forms import check_file
from ledger.proof.record_file import RecordFile
from ledger.proof.signature import VerifierKey
from ledger.proof.zipped import read_zip
from ledger.sealed import Sealed
from ledger.usecases.browse import WIDTHS
from ledger.usecases.choose import Wish, choices
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, given, made_record
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.receive import look_at, receive
from tests.builders import an_examination, an_intervention, on, usd
from tests.fakes import FakeClock
from tests.hostile import CANARY, drawn, segment, written
from tests.hostile.telling import XMP, telling_exif
from tests.usecases.houses import House, a_house
from tests.usecases.printed import streams, text_of_pdf
from tests.usecases.telling import OWNER

WORD = CANARY.decode()
SUM = "4321.99"
SPELLED = [CANARY, WORD.encode("utf-16-le"), WORD.encode("utf-16-be"), CANARY.hex().encode(), b"432199", b"4,321.99"]
BASE64 = re.compile(rb"[A-Za-z0-9+/_-]{16,}={0,2}")


def telling() -> Iterator[tuple[str, bytes]]:
    """Photographs that differ in size, so that each is one of its own, and tell the canary each in another place."""
    thumbnail = written(drawn((16, 16)), "JPEG", comment=CANARY, exif=telling_exif())
    for at, kind in enumerate(("JPEG", "PNG", "WEBP", "TIFF")):
        yield f"{kind} in EXIF", written(drawn((50 + at, 64)), kind, exif=telling_exif())
    yield "in XMP", written(drawn((60, 64)), "JPEG", xmp=XMP)
    places = {
        "in the thumbnail of EXIF": segment(0xE1, b"Exif\0\0II*\0\x08\0\0\0\0\0" + bytes(4) + thumbnail),
        "in the thumbnail of JFXX": segment(0xE0, b"JFXX\0\x10" + thumbnail),
        "in a comment": segment(0xFE, CANARY),
    }
    for at, (name, more) in enumerate(places.items()):
        plain = written(drawn((70 + at, 64)), "JPEG")
        yield name, plain[:2] + more + plain[2:]


PICTURES = dict(telling())


def shut(**more: Any) -> dict[str, Any]:
    return {name: Sealed.of(value) for name, value in more.items()}


def a_book_full_of_canaries(house: House) -> str:
    """Everything sealed in it is the canary, and its photographs tell it in every place that a file has for it."""
    book = house.teller.buy(**shut(seller=WORD, venue=WORD, reason=WORD, price=usd(SUM)))
    house.teller.add(book, an_examination(**shut(remark=WORD, examiner=WORD)))
    house.teller.add(book, an_intervention(**shut(who=WORD, cost=usd(SUM), remark=WORD)))
    house.teller.add(book, Placement(on=on("2024-04-02"), spot=Spot.BOX, place=Sealed.of(WORD)))
    house.teller.add(book, Note(words=Sealed.of(WORD)))
    told = {"face": Face.FRONT, **shut(file_name=f"{WORD}.jpg", caption=WORD)}
    photograph(house.ledger, OWNER, book, [Shot(data=data, said=dict(told)) for data in PICTURES.values()])
    return book


def looked_into(data: bytes) -> Iterator[bytes]:
    """The bytes, and what they come to where something in them is base64, deflated, a zip, a PDF or a picture."""
    yield data
    if data.startswith(b"PK"):
        for content in read_zip(data).values():
            yield from looked_into(content)
    if data.startswith(b"%PDF-"):
        yield text_of_pdf(data).encode()
        for stream in streams(data):
            yield from looked_into(stream) if stream != data else ()
    if data.startswith((b"\xff\xd8", b"\x89PNG")):
        yield from told_by(data)
        return
    for match in BASE64.finditer(data):
        yield from looked_into(unpacked(match[0]))


def unpacked(text: bytes) -> bytes:
    """What base64 of either alphabet comes to; a letter that is left over says nothing."""
    plain = text.rstrip(b"=").translate(bytes.maketrans(b"-_", b"+/"))
    plain = plain[:-1] if len(plain) % 4 == 1 else plain
    return b64decode(plain + b"=" * (-len(plain) % 4))


def told_by(picture: bytes) -> Iterator[bytes]:
    """All that a picture tells beside its points."""
    with Image.open(io.BytesIO(picture)) as opened:
        opened.load()
        yield repr(sorted((str(name), value) for name, value in opened.info.items())).encode()
        yield repr(dict(opened.getexif())).encode()
    for at in (found.start() for found in re.finditer(rb"x[\x01\x5e\x9c\xda]", picture)):
        try:
            yield zlib.decompressobj().decompress(picture[at:], 1_000_000)
        except zlib.error:
            continue


def canaries_in(data: bytes) -> list[bytes]:
    return [form for each in looked_into(data) for form in SPELLED if form.lower() in each.lower()]


def test_what_looks_for_canaries_finds_them_wherever_they_are_hidden() -> None:
    for name, data in PICTURES.items():
        assert canaries_in(data), name
        assert canaries_in(b'<img src="data:image/jpeg;base64,' + b64encode(data) + b'">'), name


@dataclass(frozen=True)
class GivenAway:
    """Every form of a record, of one that opens everything, and of the next owner's with it inside; its photographs in small."""

    own: Mapping[Form, bytes]
    opened: Mapping[Form, bytes]
    onward: Mapping[Form, bytes]
    small: Sequence[bytes]
    key: VerifierKey


def all_forms(house: House, sha256: str) -> dict[Form, bytes]:
    made = made_record(house.ledger, OWNER, sha256)
    return {form: given(house.ledger, made, form) for form in Form}


@pytest.fixture(scope="module")
def away(tmp_path_factory: pytest.TempPathFactory) -> GivenAway:
    """Made once: nothing of it is changed."""
    folder, clock = tmp_path_factory.mktemp("canary"), FakeClock()
    with a_house(folder / "one", clock) as house, a_house(folder / "two", clock) as other:
        book = a_book_full_of_canaries(house)
        kept = issue(house.ledger, OWNER, book, Wish(opened=frozenset(), recipient=WORD))
        own = all_forms(house, kept.sha256)
        shas = [each.sha256 for each in RecordFile.from_bytes(own[Form.FILE]).pictures]
        onward = other.teller.buy()
        fields = frozenset((each.seq, each.name) for each in choices(house.ledger, OWNER, book))
        opened = all_forms(house, issue(house.ledger, OWNER, book, Wish(opened=fields)).sha256)
        seen = look_at(OWNER, own[Form.PAGE], [house.key])
        receive(other.ledger, OWNER, seen, book=onward, from_whom=WORD)
        theirs = issue(other.ledger, OWNER, onward, Wish(opened=frozenset()))
        small = [house.ledger.pictures.small(sha, int(width)) for sha in shas for width in WIDTHS]
        return GivenAway(own, opened, all_forms(other, theirs.sha256), small, house.key)


@pytest.mark.parametrize("form", Form)
def test_where_everything_was_chosen_the_canaries_are_found_in_each_form(away: GivenAway, form: Form) -> None:
    assert {CANARY, b"432199"} <= set(canaries_in(away.opened[form]))


@pytest.mark.parametrize("form", Form)
def test_nothing_that_was_not_chosen_is_in_any_form(away: GivenAway, form: Form) -> None:
    assert len(RecordFile.from_bytes(away.own[Form.FILE]).pictures) == len(PICTURES)
    assert check_file(away.own[form], [away.key]).trusted
    assert canaries_in(away.own[form]) == []


@pytest.mark.parametrize("form", Form)
def test_nothing_that_was_not_chosen_is_in_what_the_next_owner_gives(away: GivenAway, form: Form) -> None:
    assert canaries_in(away.onward[form]) == []


def test_no_small_copy_of_a_photograph_tells_what_the_photograph_told(away: GivenAway) -> None:
    assert len(away.small) == len(PICTURES) * len(WIDTHS)
    assert [found for each in away.small for found in canaries_in(each)] == []

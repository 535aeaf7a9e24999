"""A small invented record with everything that one can have: two photographs, a map, every kind of block, an earlier one."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ledger.proof.canonical import Plain
from ledger.proof.proof_file import EntryProof
from ledger.proof.record_file import PictureNamed, RecordFile, digest_of
from ledger.proof.sheet import Facts, Map, Picture, Section, Sheet, Spot, Table, Words, Work
from tests.proof.making import BOOK_A, OTHER_COLLECTION, OWNER, Made, a_ledger

# Not pictures: nothing that checks a record decodes one.
FRONT, BACK = b"\xff\xd8 the front of a paper lantern", b"\xff\xd8 its back </script><!-- "
HOSTILE = "</script><script>alert(1)</script> & \"quotes\" <b>bold</b> \u2028 'single'"


@dataclass(frozen=True)
class Given:
    """A record file and what lies beside it, by digest."""

    data: bytes
    beside: Mapping[str, bytes]
    made: Made

    @property
    def file(self) -> RecordFile:
        """The record as it is read."""
        return RecordFile.from_bytes(self.data)

    def with_file(self, **changes: Any) -> "Given":
        """The record with other parts, spelled anew."""
        return replace(self, data=replace(self.file, **changes).to_bytes())


def a_sheet(*pictures: bytes, title: str = "A Paper Lantern 14") -> Sheet:
    """Words of every kind, some of them hostile."""
    shown = [Picture(digest_of(each), f"Photograph {place}, {HOSTILE}") for place, each in enumerate(pictures, 1)]
    spots = (
        Spot("1", "12.5", "200", solid=True),
        Spot("2", "180", "20", "190", "60", "line"),
        Spot("3", "200", "100", "240", "140", "area"),
    )
    return Sheet(
        title=title,
        lead=f"Two steps were done here. {HOSTILE}",
        sections=(
            Section("identity", "Which book it is", (Facts((("Title", "A Paper Lantern"), ("Number", "14 <i>"))),)),
            Section(
                "work",
                "What was done",
                (
                    Words(("Done here since 1987.",)),
                    Work("non-additive", ("Dry surface cleaning, 7 March 2026",)),
                    Work("conservation", ("A tear closed",)),
                    Work("restoration", ("A piece replaced",)),
                    Words(("First point", "Second point"), listed=True),
                ),
            ),
            Section("grades", "Grades", (Table(("When", "Grade"), (("1987", "VF/NM"), ("2026", HOSTILE))),)),
            Section("map", "Where", (Map("345.5", "262", ("170", "175.5"), spots, "The book opened flat"),)),
            Section("photographs", "Photographs", tuple(shown)),
        ),
    )


def a_record(*, shown: tuple[str, ...] = ("seller",), earlier: "Given | None" = None, collection: str = "") -> Given:
    """The record of the first book of the small ledger."""
    made = a_ledger(collection=collection) if collection else a_ledger()
    beside: dict[str, bytes] = {}
    for data in (FRONT, BACK):
        beside[digest_of(data)] = data
        body: dict[str, Plain] = {"original": digest_of(b"as it came: " + data), "clean": digest_of(data)}
        made.write(
            "photograph", BOOK_A, on="2026-03-09", body=body, sealed={"caption": "A lantern", "file_name": "x.jpg"}
        )
    if earlier is not None:
        beside |= {**earlier.beside, digest_of(earlier.data): earlier.data}
        told: dict[str, Plain] = {"record": digest_of(earlier.data), "verdict": "whole"}
        made.write("earlier", BOOK_A, body=told, sealed={"from_whom": "An aunt"})
    sheet = a_sheet(FRONT, BACK)
    entries = [each for each in made.said if each.book == BOOK_A]
    opened = [{"entry": each.seq, "name": name} for each in entries for name in each.sealed if name in shown]
    said: dict[str, Plain] = {"statement": sheet.digest, "opened": opened, "previous_head": made.heads[BOOK_A].leaf}  # type: ignore[dict-item]  # a list of objects is plain
    made.write("disclosure", BOOK_A, on="2026-03-20", body=said, sealed={"recipient": "A neighbour"})
    first = made.said[0]
    of_collection = EntryProof(data=first.to_bytes(), proof=made.proof_of(first.seq))
    record = RecordFile(
        proof=made.proof_file(BOOK_A, shown),
        sheet=sheet,
        collection=(of_collection,),
        pictures=tuple(PictureNamed(sha256=digest_of(e), media="image/jpeg", size=len(e)) for e in (FRONT, BACK)),
        earlier=(digest_of(earlier.data),) if earlier else (),
        keys=(OWNER.verifier.vkey,),
    )
    return Given(record.to_bytes(), beside, made)


__all__ = ["BACK", "FRONT", "HOSTILE", "OTHER_COLLECTION", "Given", "a_record", "a_sheet"]

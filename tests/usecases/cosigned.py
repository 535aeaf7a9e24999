"""A ledger that is stamped and cosigned: a neighbour who cosigns, and what is refused."""

import pytest

from ledger.errors import InvalidError
from ledger.ports import Ledger
from ledger.proof.cosigning import cosign, line_text, read_shown
from ledger.proof.signature import CosigningKey
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, record
from ledger.usecases.stamps import cosignature_wanted, kept_stamps, take
from tests.builders import a_purchase
from tests.usecases.telling import OWNER

WITNESS = CosigningKey.from_seed("a-neighbour", b"\x0b" * 32)
SAME_NAME = CosigningKey.from_seed("a-neighbour", b"\x0c" * 32)
TIME = 1767225600
"""1 January 2026, 0:00 UTC, in seconds since 1970."""


def grown(ledger: Ledger) -> str:
    """One more book under a new checkpoint; its note."""
    record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
    return sign_checkpoint(ledger, OWNER).note


def note_of(ledger: Ledger) -> str:
    return sign_checkpoint(ledger, OWNER).note


def text_of(note: str) -> str:
    return note.split("\n\n", 1)[0] + "\n"


def line_over(note: str, key: CosigningKey = WITNESS) -> str:
    return line_text(key.line(text_of(note), TIME))


def refused(ledger: Ledger, data: bytes | str, field: str = "stamp", **more: object) -> str:
    before = kept_stamps(ledger, OWNER)
    with pytest.raises(InvalidError) as caught:
        take(ledger, OWNER, data.encode() if isinstance(data, str) else data, **more)  # type: ignore[arg-type]  # any
    assert kept_stamps(ledger, OWNER) == before
    (problem,) = caught.value.problems
    assert problem.field == field
    return problem.sentence


def asked(ledger: Ledger, since: int = 0) -> str:
    """What a neighbour sends back."""
    shown = read_shown(cosignature_wanted(ledger, OWNER, since).data)
    last = None
    if since:
        with ledger.log.read() as reader:
            last = next(each.note for each in reader.checkpoints() if each.size == since)
    return line_text(cosign(shown, [ledger.signer.verifier], last, WITNESS, TIME))

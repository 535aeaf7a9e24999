"""Whether two verifiers that share no code say the same of records: ours, and the one written from FORMAT.md."""

from collections.abc import Iterable, Mapping, Sequence

from ledger.proof.eight import first_bytes, is_words
from ledger.proof.given import Asked, Checked, broken, check_given
from ledger.proof.signature import parse_vkey
from tests.proof.second import verdict

__all__ = ["disagreements", "our_verdict"]


def our_verdict(checked: Checked) -> str:
    """The verdict in one of the three words of FORMAT.md section 12."""
    if checked.report.findings or broken(checked.report):
        return "not good"
    return "whole" if checked.report.signer_known else "consistent"


def disagreements(
    given: Iterable[tuple[str, bytes | Mapping[str, bytes]]], keys: Sequence[str] = (), held: str | None = None
) -> list[str]:
    """Of named records in any form, those of which the two say different things; with these keys, and with none."""
    found: list[str] = []
    for name, each in given:
        for some in (keys, ()) if keys else ((),):
            asked = Asked(
                keys=tuple(parse_vkey(text) for text in some if not is_words(text)),
                words=tuple(first_bytes(text) for text in some if is_words(text)),
                held=held.encode() if held else None,
            )
            ours, theirs = our_verdict(check_given(each, asked)), verdict(each, some, held)
            if ours != theirs:
                found.append(f"{name}, {len(some)} keys: here {ours}, there {theirs}")
    return found

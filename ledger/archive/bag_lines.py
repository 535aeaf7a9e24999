"""The tag files of an archive's bag, made from the checksums that were taken while its files were written or read.

Source: RFC 8493, "The BagIt File Packaging Format (V1.0)", sections 2.1.1, 2.1.3, 2.2.1, 2.2.2.
"""

from collections.abc import Mapping
from typing import Final

from ledger.archive.layout import BAG_INFO, BAGIT, FORMAT, MANIFEST, SIGNED, TAG_MANIFEST, Head
from ledger.archive.zip_files import Written

__all__ = ["BAGIT_TEXT", "faults_of_list", "info_text", "list_text"]

BAGIT_TEXT: Final = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_SAID: Final = {
    MANIFEST: "the list of checksums",
    TAG_MANIFEST: "the list of the bag's own files",
    BAG_INFO: "the label of the bag",
    BAGIT: "the file that says this is a bag",
    SIGNED: "the signed statement",
}


def info_text(head: Head, payload: Mapping[str, Written]) -> bytes:
    """The label of the bag, for people and for other programs."""
    octets = sum(each.size for each in payload.values())
    lines = (
        f"Bagging-Date: {head.made[:10]}",
        f"External-Identifier: {head.state.origin}",
        f"External-Description: A collection of {head.state.size} entries, {FORMAT}",
        f"Payload-Oxum: {octets}.{len(payload)}",
    )
    return "".join(f"{line}\n" for line in lines).encode()


def list_text(files: Mapping[str, Written]) -> bytes:
    """A list of these files, each with its SHA-256, in the order of their names."""
    return "".join(f"{files[name].sha256}  {name}\n" for name in sorted(files)).encode()


def faults_of_list(given: bytes, found: Mapping[str, Written], where: str) -> list[str]:
    """What is wrong between a list of checksums and the files that were found, each in a sentence."""
    listed: dict[str, str] = {}
    faults = []
    for number, line in enumerate(given.decode("utf-8", "replace").splitlines(), start=1):
        digest, _, name = line.partition("  ")
        if not name or name in listed:
            faults.append(f"Line {number} of {where} is no checksum and name, or names a file twice.")
        listed[name] = digest
    for name in sorted(listed.keys() | found.keys()):
        what = _SAID.get(name, name)
        if name not in found:
            faults.append(f"{_shown(what)} is missing: it is listed in {where}.")
        elif name not in listed:
            faults.append(f"{_shown(what)} is extra: it is not listed in {where}.")
        elif found[name].sha256 != listed[name]:
            faults.append(f"{_shown(what)} was changed: its checksum is not the one in {where}.")
    if not faults and list_text(found) != given:
        faults.append(f"{where[:1].upper()}{where[1:]} is spelled otherwise than an archive spells it.")
    return faults


def _shown(name: str) -> str:
    """A name from the file, so that it cannot be taken for words of ours."""
    shown = ascii(name[:200])[1:-1]
    return shown[:1].upper() + shown[1:] if name in _SAID.values() else shown

"""A bag: files with a list of their digests beside them, which anybody can check with `sha256sum`.

Source: RFC 8493, "The BagIt File Packaging Format (V1.0)". Stricter in one way: names that some file systems take for
one are refused, since one of them would be lost there.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256, sha512
from types import MappingProxyType
from typing import Final

from ledger.proof.report import Evidence, Report

__all__ = ["DATA", "check_bag", "write_bag"]

DATA: Final = "data/"
_BAGIT: Final = "bagit.txt"
_INFO: Final = "bag-info.txt"
_FETCH: Final = "fetch.txt"
_DECLARED: Final = ("BagIt-Version: 1.0", "Tag-File-Character-Encoding: UTF-8")
_HASHES: Final = {"sha256": sha256, "sha512": sha512}
"""Both must be understood. Source: RFC 8493 section 2.4."""
_MANIFEST: Final = re.compile(r"(tag)?manifest-([a-z0-9]+)\.txt")
_LINE: Final = re.compile(r"([0-9A-Fa-f]+)[ \t]+(.+)")
_LINE_ENDS: Final = re.compile(r"\r\n|\r|\n")
_OXUM: Final = re.compile(r"(\d{1,18})\.(\d{1,9})")
_ESCAPES: Final = {"%0a": "\n", "%0d": "\r", "%25": "%"}
_PERCENT: Final = re.compile(r"%(?!0[aAdD]|25)")

Files = Mapping[str, bytes]
Listed = dict[str, str]


def write_bag(
    payload: Files, info: Sequence[tuple[str, str]] = (), digests: Mapping[str, str] = MappingProxyType({})
) -> dict[str, bytes]:
    """All files of a bag over this payload, whose names begin with `data/`; `info` are further lines of its label.

    `digests` are SHA-256 of files of which it is known, by their names; they are not worked out again.
    Requires: names begin with `data/`; labels and values are single lines; digests are right
    Source: RFC 8493 sections 2.1 to 2.2.4.
    """
    assert all(name.startswith(DATA) for name in payload)
    octets = sum(map(len, payload.values()))
    lines = [*(f"{label}: {value}" for label, value in info), f"Payload-Oxum: {octets}.{len(payload)}"]
    tags = {
        _BAGIT: _text(_DECLARED),
        _INFO: _text(lines),
        "manifest-sha256.txt": _text(_lines_of(payload, digests)),
    }
    return {**tags, "tagmanifest-sha256.txt": _text(_lines_of(tags)), **payload}


def check_bag(files: Files, report: Report) -> None:
    """Every way in which these files are no valid bag, told to the report; a folder's name ends with a slash.

    Source: RFC 8493 section 3: complete, and every checksum is right.
    """
    report.count("files of the bag", len(files))
    payload = {name for name in files if name.startswith(DATA) and not name.endswith("/")}
    _declaration(files, report)
    if not any(name.startswith(DATA) for name in files):
        _missing(report, "The bag has no folder data.")
    _names(files, report)
    listed = {name: _manifest(name, files[name], report) for name in sorted(files) if _MANIFEST.fullmatch(name)}
    plain = {name: each for name, each in listed.items() if name.startswith("manifest-")}
    if not plain:
        _missing(report, "The bag has no list of checksums of its files (manifest-sha256.txt).")
    for name, each in plain.items():
        _payload(name, each, payload, report)
    for name, each in listed.items():
        if name not in plain:
            _tags(name, each, plain, report)
        _sums(name, each, files, report)
    _info(files, payload, report)
    _fetch(files, plain, report)


def _text(lines: Iterable[str]) -> bytes:
    return "".join(f"{line}\n" for line in lines).encode()


def _lines_of(files: Files, digests: Mapping[str, str] = MappingProxyType({})) -> Iterator[str]:
    for name in sorted(files):
        spelled = name.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")
        yield f"{digests.get(name) or sha256(files[name]).hexdigest()}  {spelled}"


def _missing(report: Report, sentence: str) -> None:
    report.add("bag-file-missing", sentence, evidence=Evidence.MISSING)


def _malformed(report: Report, name: str, problem: str) -> None:
    report.add("bag-malformed", f"{name} of the bag: {problem}.")


def _read(name: str, data: bytes, report: Report) -> list[str] | None:
    """The lines of a tag file."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        _malformed(report, name, "it is not UTF-8")
        return None
    if text.startswith("\ufeff"):
        _malformed(report, name, "it begins with a byte order mark")
        return None
    return _LINE_ENDS.sub("\n", text).removesuffix("\n").split("\n") if text else []


def _declaration(files: Files, report: Report) -> None:
    """Source: RFC 8493 section 2.1.1."""
    if _BAGIT not in files:
        _missing(report, "The file bagit.txt, which says that this is a bag, is missing.")
    elif (lines := _read(_BAGIT, files[_BAGIT], report)) is not None and tuple(lines) != _DECLARED:
        _malformed(report, _BAGIT, "it is not the two lines that version 1.0 has, in their order and spelling")


def _names(files: Files, report: Report) -> None:
    """Names that are one name where case or composition of letters does not count."""
    seen: dict[str, str] = {}
    for name in sorted(files):
        other = seen.setdefault(unicodedata.normalize("NFC", name).casefold(), name)
        if other != name:
            report.add("bag-names-alike", f"{_shown(name)} and {_shown(other)} are one name on some file systems.")


def _manifest(name: str, data: bytes, report: Report) -> Listed:
    """Path and checksum of each line. Source: RFC 8493 section 2.1.3."""
    found: Listed = {}
    for number, line in enumerate(_read(name, data, report) or (), 1):
        match = _LINE.fullmatch(line)
        path = _path(match[2]) if match else None
        if match is None or path is None:
            _malformed(report, name, f"line {number} is no checksum and path inside the bag")
        elif path in found:
            _malformed(report, name, f"it lists {_shown(path)} twice")
        else:
            found[path] = match[1].lower()
    return found


def _path(text: str) -> str | None:
    """The path a line means; None where it leads out of the bag or is not spelled as it must be."""
    if _PERCENT.search(text):
        return None
    path = re.sub(r"%(?:0[aAdD]|25)", lambda found: _ESCAPES[found[0].lower()], text)
    parts = path.split("/")
    if {"", ".", ".."} & set(parts) or "\\" in path or path[0] == "~" or path[1:2] == ":":
        return None
    return path


def _payload(name: str, listed: Listed, payload: set[str], report: Report) -> None:
    """A list of the payload speaks of every file of it and of nothing else."""
    for path in sorted(listed.keys() - payload):
        if path.startswith(DATA):
            _missing(report, f"{_shown(path)} is listed in {name} and is not in the bag.")
        else:
            _malformed(report, name, f"it lists {_shown(path)}, which is not under data")
    for path in sorted(payload - listed.keys()):
        report.add("bag-file-extra", f"{_shown(path)} is in the bag and not listed in {name}.")


def _tags(name: str, listed: Listed, plain: Mapping[str, Listed], report: Report) -> None:
    """Source: RFC 8493 section 2.2.1."""
    for path in sorted(plain.keys() - listed.keys()):
        _malformed(report, name, f"it does not list {path}")
    for path in sorted(listed):
        if path.startswith((DATA, "tagmanifest-")):
            _malformed(report, name, f"it lists {_shown(path)}, which does not belong there")


def _sums(name: str, listed: Listed, files: Files, report: Report) -> None:
    match = _MANIFEST.fullmatch(name)
    assert match is not None
    hashed = _HASHES.get(match[2])
    if hashed is None:
        _malformed(report, name, f"checksums of the kind {match[2]} are not known here; sha256 and sha512 are")
        return
    for path, checksum in sorted(listed.items()):
        if path not in files:
            if match[1]:
                _missing(report, f"{_shown(path)} is listed in {name} and is not in the bag.")
        elif hashed(files[path]).hexdigest() != checksum:
            report.add("bag-file-changed", f"{_shown(path)} was changed: its checksum is not the one in {name}.")


def _info(files: Files, payload: set[str], report: Report) -> None:
    """Source: RFC 8493 section 2.2.2, Payload-Oxum."""
    lines = _read(_INFO, files[_INFO], report) if _INFO in files else None
    said = [line.partition(":")[2].strip() for line in lines or () if line.lower().startswith("payload-oxum:")]
    if len(said) > 1:
        _malformed(report, _INFO, "it says Payload-Oxum twice")
    elif said:
        match = _OXUM.fullmatch(said[0])
        octets = sum(len(files[name]) for name in payload)
        if match is None or (int(match[1]), int(match[2])) != (octets, len(payload)):
            shown = _shown(said[0])
            _malformed(
                report, _INFO, f"Payload-Oxum says {shown}, and there are {octets} bytes in {len(payload)} files"
            )


def _fetch(files: Files, plain: Mapping[str, Listed], report: Report) -> None:
    """Files that lie elsewhere are fetched by nobody here; they are missing all the same. Source: section 2.2.3."""
    for number, line in enumerate(_read(_FETCH, files[_FETCH], report) or () if _FETCH in files else (), 1):
        parts = re.split(r"[ \t]+", line, maxsplit=2)
        path = _path(parts[2]) if len(parts) == len(("url", "length", "path")) else None
        if path is None or not path.startswith(DATA):
            _malformed(report, _FETCH, f"line {number} is no address, length and path under data")
        elif any(path not in listed for listed in plain.values()):
            _malformed(report, _FETCH, f"it names {_shown(path)}, which is not in every list of checksums")


def _shown(path: str) -> str:
    """A name from the file, so that it cannot be taken for words of ours."""
    return ascii(path[:200])

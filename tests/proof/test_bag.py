"""Bags: written as RFC 8493 says, and judged as it says where a lenient library does not."""

from hashlib import sha256, sha512

import pytest

from ledger.proof.bag import check_bag, write_bag
from ledger.proof.report import Report

HELLO, COVER = "data/hello.txt", "data/images/cover.bin"
PAYLOAD = {HELLO: b"hello\n", COVER: bytes(range(256))}

# RFC 8493 section 2, by hand: printf 'hello\n' | sha256sum, and so on for each file.
GOOD = {
    **PAYLOAD,
    "bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
    "bag-info.txt": b"Bagging-Date: 2026-01-02\nPayload-Oxum: 262.2\n",
    "manifest-sha256.txt": (
        b"5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03  data/hello.txt\n"
        b"40aff2e9d2d8922e47afd4648e6967497158785fbd1da870e7110266bf944880  data/images/cover.bin\n"
    ),
    "tagmanifest-sha256.txt": (
        b"c7e46817575332da28a56677eaee8388de6b386d7cd1a86b51d7f9c45bbc34d2  bag-info.txt\n"
        b"1712ecfb074bf29c4188ad3421032509159a09739fd604f8fe57038b4ddefcc9  bagit.txt\n"
        b"12ec9d91d0600ceac8f3a5b96aac16ddd8c50197fffe94d86d51d8ca5ea2acb6  manifest-sha256.txt\n"
    ),
}
MINIMAL = {name: GOOD[name] for name in (*PAYLOAD, "bagit.txt", "manifest-sha256.txt")}


def found_in(files: dict[str, bytes]) -> list[tuple[str, str]]:
    report = Report()
    check_bag(files, report)
    return [(each.code, each.sentence) for each in report.findings]


def codes_in(files: dict[str, bytes]) -> list[str]:
    return [code for code, _ in found_in(files)]


def sealed(files: dict[str, bytes]) -> dict[str, bytes]:
    """The files with a list of their tag files that fits them."""
    tags = sorted(name for name in files if not name.startswith(("data/", "tagmanifest-")))
    lines = "".join(f"{sha256(files[name]).hexdigest()}  {name}\n" for name in tags)
    return {**files, "tagmanifest-sha256.txt": lines.encode()}


def without(files: dict[str, bytes], *names: str) -> dict[str, bytes]:
    return {name: data for name, data in files.items() if name not in names}


def listing(payload: dict[str, bytes], spelled: dict[str, str] | None = None) -> bytes:
    names = spelled or {}
    lines = (f"{sha256(data).hexdigest()}  {names.get(name, name)}\n" for name, data in payload.items())
    return "".join(lines).encode()


def test_a_bag_is_written_to_the_byte_as_the_worked_example() -> None:
    written = write_bag(PAYLOAD, [("Bagging-Date", "2026-01-02")])
    assert written.keys() == GOOD.keys()
    for name in without(written, "manifest-sha256.txt", "tagmanifest-sha256.txt"):
        assert written[name] == GOOD[name], name
    assert written["manifest-sha256.txt"] == GOOD["manifest-sha256.txt"]
    assert written["tagmanifest-sha256.txt"] == GOOD["tagmanifest-sha256.txt"]


NAMED = {"data/100%.txt": b"all", "data/a\nb.txt": b"both"}
SPELLED = {"data/100%.txt": "data/100%25.txt", "data/a\nb.txt": "data/a%0Ab.txt"}

VALID = {
    "the example": GOOD,
    "the least there is": MINIMAL,
    "an empty payload": {"bagit.txt": GOOD["bagit.txt"], "manifest-sha256.txt": b"", "data/": b""},
    "checksums in capitals": {
        **MINIMAL,
        "manifest-sha256.txt": listing(PAYLOAD)
        .upper()
        .replace(b"DATA", b"data")
        .replace(b"HELLO.TXT", b"hello.txt")
        .replace(b"IMAGES/COVER.BIN", b"images/cover.bin"),
    },
    "a tab between": {**MINIMAL, "manifest-sha256.txt": GOOD["manifest-sha256.txt"].replace(b"  ", b"\t")},
    "line ends of two characters": {
        **MINIMAL,
        "manifest-sha256.txt": GOOD["manifest-sha256.txt"].replace(b"\n", b"\r\n"),
    },
    "a file beside it that no list names": {**GOOD, "notes.txt": b"mine"},
    "names with a per cent sign and a line break": {
        **NAMED,
        "bagit.txt": GOOD["bagit.txt"],
        "manifest-sha256.txt": listing(NAMED, SPELLED),
    },
    "two kinds of checksum": {
        **MINIMAL,
        "manifest-sha512.txt": "".join(
            f"{sha512(data).hexdigest()}  {name}\n" for name, data in PAYLOAD.items()
        ).encode(),
    },
}


@pytest.mark.parametrize("name", VALID)
def test_a_valid_bag_is_found_good(name: str) -> None:
    """Source: RFC 8493 sections 2 and 3."""
    assert found_in(VALID[name]) == []


ONE_LINE = f"{sha512(PAYLOAD[HELLO]).hexdigest()}  {HELLO}\n".encode()
BAGIT = GOOD["bagit.txt"]
SUMS = GOOD["manifest-sha256.txt"]
FIRST = SUMS.split(b"\n")[0]

INVALID = {
    "a byte changed, the size kept": ({**GOOD, HELLO: b"hellO\n"}, ["bag-file-changed"]),
    "a file gone": (without(GOOD, COVER), ["bag-file-missing", "bag-malformed"]),
    "a file that no list names": ({**GOOD, "data/extra.txt": b"x"}, ["bag-file-extra", "bag-malformed"]),
    "the same in the least bag": ({**MINIMAL, "data/extra.txt": b"x"}, ["bag-file-extra"]),
    "a file in one list only": ({**MINIMAL, "manifest-sha512.txt": ONE_LINE}, ["bag-file-extra"]),
    "no declaration": (without(MINIMAL, "bagit.txt"), ["bag-file-missing"]),
    "a byte order mark": ({**MINIMAL, "bagit.txt": b"\xef\xbb\xbf" + BAGIT}, ["bag-malformed"]),
    "a space before the colon": ({**MINIMAL, "bagit.txt": BAGIT.replace(b"Version:", b"Version :")}, ["bag-malformed"]),
    "no encoding": ({**MINIMAL, "bagit.txt": BAGIT.split(b"\n")[0] + b"\n"}, ["bag-malformed"]),
    "three lines": ({**MINIMAL, "bagit.txt": BAGIT + b"More: 1\n"}, ["bag-malformed"]),
    "lines the other way round": (
        {**MINIMAL, "bagit.txt": b"".join(reversed(BAGIT.splitlines(keepends=True)))}, ["bag-malformed"]),
    "another version": ({**MINIMAL, "bagit.txt": BAGIT.replace(b"1.0", b".97")}, ["bag-malformed"]),
    "no list": (without(MINIMAL, "manifest-sha256.txt"), ["bag-file-missing"]),
    "no folder for the payload": ({"bagit.txt": BAGIT, "manifest-sha256.txt": b""}, ["bag-file-missing"]),
    "a way out of the bag": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  ../outside.txt\n"}, ["bag-malformed"]),
    "a way out through data": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  data/../../x\n"}, ["bag-malformed"]),
    "a path from the root": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  /etc/passwd\n"}, ["bag-malformed"]),
    "a home folder": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  ~/x\n00  ~root/x\n"}, ["bag-malformed"] * 2),
    "a drive": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  C:/x\n00  \\\\?\\UNC\\x\n"}, ["bag-malformed"] * 2),
    "a tag file among the payload": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  bagit.txt\n"},
                                     ["bag-malformed", "bag-file-changed"]),
    "a line twice": ({**MINIMAL, "manifest-sha256.txt": SUMS + FIRST + b"\n"}, ["bag-malformed"]),
    "a file with two checksums": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  data/hello.txt\n"}, ["bag-malformed"]),
    "another count": (sealed({**GOOD, "bag-info.txt": b"Payload-Oxum: 999.2\n"}), ["bag-malformed"]),
    "the count twice": (sealed({**GOOD, "bag-info.txt": b"Payload-Oxum: 262.2\nPayload-Oxum: 262.2\n"}), ["bag-malformed"]),
    "a tag file changed later": ({**GOOD, "bag-info.txt": GOOD["bag-info.txt"] + b"Note: x\n"}, ["bag-file-changed"]),
    "a list of tag files without the list of the payload": (
        {**MINIMAL, "tagmanifest-sha256.txt": listing({"bagit.txt": BAGIT})}, ["bag-malformed"]),
    "a listed tag file gone": (without(GOOD, "bag-info.txt"), ["bag-file-missing"]),
    "a list of tag files that lists the payload": (
        {**MINIMAL, "tagmanifest-sha256.txt": listing({"manifest-sha256.txt": SUMS, HELLO: PAYLOAD[HELLO]})}, ["bag-malformed"]),
    "a per cent sign that is not spelled": (
        {**NAMED, "bagit.txt": BAGIT, "manifest-sha256.txt": listing(NAMED, {**SPELLED, "data/100%.txt": "data/100%.txt"})},
        ["bag-malformed", "bag-file-extra"]),
    "folders apart by a backslash": (
        {**MINIMAL, "manifest-sha256.txt": SUMS.replace(b"data/images/", b"data\\images\\")}, ["bag-malformed", "bag-file-extra"]),
    "a file to fetch that no list names": ({**MINIMAL, "fetch.txt": b"x 5 data/more.bin\n"}, ["bag-malformed"]),
    "a way out in what is to be fetched": ({**MINIMAL, "fetch.txt": b"x 5 ../more.bin\n"}, ["bag-malformed"]),
    "a file to fetch": (
        {**MINIMAL, "fetch.txt": b"x 5 data/more.bin\n", "manifest-sha256.txt": SUMS + b"00  data/more.bin\n"}, ["bag-file-missing"]),
    "a path from the root in what is to be fetched": ({**MINIMAL, "fetch.txt": b"x 5 /etc/passwd\n"}, ["bag-malformed"]),
    "a home folder in what is to be fetched": ({**MINIMAL, "fetch.txt": b"x 5 ~/x\nx 5 ~root/x\n"}, ["bag-malformed"] * 2),
    "a drive in what is to be fetched": (
        {**MINIMAL, "fetch.txt": b"x 5 C:\\x\nx 5 %HomeDrive%\\x\nx 5 \\\\?\\UNC\\x\n"}, ["bag-malformed"] * 3),
    "a name for a drive": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"00  %HomeDrive%\\x\n"}, ["bag-malformed"]),
    "a path that begins with a point": (
        {**MINIMAL, "manifest-sha256.txt": SUMS.replace(b"  data/hello", b"  ./data/hello")}, ["bag-malformed", "bag-file-extra"]),
    "a star before the path": (
        {**MINIMAL, "manifest-sha256.txt": SUMS.replace(b"  data/hello", b" *data/hello")}, ["bag-malformed", "bag-file-extra"]),
    "a checksum that is not known here": ({**MINIMAL, "manifest-md5.txt": SUMS}, ["bag-malformed"]),
    "a line that is none": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"nonsense\n"}, ["bag-malformed"]),
    "bytes that are no text": ({**MINIMAL, "manifest-sha256.txt": SUMS + b"\xff\n"}, ["bag-malformed", "bag-file-extra", "bag-file-extra"]),
    "names that differ by case": (
        {**MINIMAL, "data/HELLO.txt": b"x", "manifest-sha256.txt": SUMS + listing({"data/HELLO.txt": b"x"})}, ["bag-names-alike"]),
    "names that differ by composition": (
        {"data/\u00e9": b"x", "data/e\u0301": b"y", "bagit.txt": BAGIT,
         "manifest-sha256.txt": listing({"data/\u00e9": b"x", "data/e\u0301": b"y"})}, ["bag-names-alike"]),
}  # fmt: skip


@pytest.mark.parametrize("name", INVALID)
def test_a_bag_that_is_not_valid_is_named_for_its_reason(name: str) -> None:
    """Source: RFC 8493 sections 2 and 3; the kinds are those of the public conformance suite for bags, made anew."""
    files, codes = INVALID[name]
    assert codes_in(files) == codes


def test_a_sentence_names_the_file_in_a_spelling_that_cannot_be_mistaken_for_ours() -> None:
    (found,) = found_in({**MINIMAL, "data/x\n\x1b[31mGOOD": b"x"})
    assert found == ("bag-file-extra", r"'data/x\n\x1b[31mGOOD' is in the bag and not listed in manifest-sha256.txt.")


def test_every_changed_byte_of_a_bag_with_both_lists_is_found() -> None:
    for name, data in GOOD.items():
        for place in range(len(data)):
            damaged = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
            assert found_in({**GOOD, name: damaged}), (name, place)

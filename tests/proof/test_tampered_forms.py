"""Tampering with a form and not with the record in it: pages, bags and zips that say more, less or something else."""

import io
import re
import struct
import zipfile
from base64 import b64encode
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.proof.bag import write_bag
from ledger.proof.forms import bag_of
from ledger.proof.page import page_of
from ledger.proof.record_file import digest_of
from ledger.proof.zipped import read_zip, write_zip
from tests.counts import count
from tests.proof.agreeing import disagreements
from tests.proof.making import OWNER
from tests.proof.recording import BACK, FRONT, HOSTILE, a_record
from tests.proof.tampering import BAG, FORMS, GOOD, TWICE, as_page, as_zip, checked
from tests.proof.test_zipped import CENTRAL, LOCAL, changed_at, with_files

KEY = OWNER.verifier.vkey
PAGE, ZIP = as_page(GOOD), as_zip(GOOD)
SHOT = f"data/photographs/{digest_of(FRONT)}.jpg"
LABEL = [("Bag-Software-Agent", "slipsheet"), ("External-Identifier", digest_of(GOOD.data))]


def told(form: bytes | dict[str, bytes]) -> list[tuple[str, str]]:
    """Codes with their sentences; the other verifier must not call it whole either."""
    found = checked(form)
    assert not found.whole
    assert disagreements([("", form)], [KEY]) == []
    return [(each.code, each.sentence) for each in found.report.findings]


def resealed(**changes: bytes | None) -> dict[str, bytes]:
    """The bag with payload files changed, put in or (None) taken out, and all lists made to fit."""
    payload: dict[str, bytes | None] = {name: data for name, data in BAG.items() if name.startswith("data/")}
    payload |= {f"data/{name}": data for name, data in changes.items()}
    return write_bag({name: data for name, data in payload.items() if data is not None}, LABEL)


def tried(code: str, sentence: str, form: bytes | dict[str, bytes]) -> tuple[str, str, bytes | dict[str, bytes]]:
    return code, sentence, form


def swapped(old: bytes, new: bytes) -> bytes:
    assert old in PAGE
    return PAGE.replace(old, new, 1)


RECORD = b'<script type="application/octet-stream" id="record">'
OTHER = b64encode(a_record(collection="anothercollectionelsewhere").data)
PAGES = {
    "a word of the sheet": swapped(b"A tear closed", b"A tear healed"),
    "a word put in": swapped(b"</article>", b"<p>Never touched.</p></article>"),
    "a piece left out": swapped(b"<li data-s>First point</li>\n", b""),
    "the title": swapped(b"<title>A Paper Lantern 14</title>", b"<title>A Paper Lantern 1</title>"),
    "a script's end in the title": swapped(b"<title>A Paper Lantern", b"<title></script><script>alert(1)</script>"),
    "a script put in": swapped(b"</main>", b"</main><script>document.body.hidden = true</script>"),
    "the script": swapped(b'"use strict";', b'"use strict"; '),
    "the style": swapped(b"<style>", b"<style>.lead{display:none}"),
    "the policy": swapped(b"default-src 'none'; ", b"default-src *; "),
    "the verdict, as if it had been checked": swapped(b"Not checked here.", b"Checked: all is well."),
    "a comment": swapped(b"<body>", b"<body><!-- x -->"),
    "something behind it": PAGE + b"<p>Trust me.</p>",
    "a space behind it": PAGE + b"\n",
    "something before it": b"\n" + PAGE,
    "a second record behind the first": swapped(b"</body>", RECORD + OTHER + b"</script></body>"),
    "a hatch": swapped(b'fill="url(#dense)"', b'fill="url(#light)"'),
    "a spot of the map": swapped(b'cx="12.5"', b'cx="112.5"'),
    "carriage returns": PAGE.replace(b"\n", b"\r\n"),
}  # fmt: skip


@pytest.mark.parametrize("name", PAGES)
def test_whatever_is_other_in_a_page_is_named(name: str) -> None:
    found = told(PAGES[name])
    assert [code for code, _ in found] == ["page-differs"]
    assert found[0][1].startswith("The page is not the one its record gives, from byte ")


def test_a_photograph_shown_twice_must_be_the_same_twice() -> None:
    """The first of a name is what lies beside the record; the second is held against it with all other bytes."""
    shown = GOOD.file.sheet.sections[-1]
    twice = replace(GOOD.file.sheet, sections=(*GOOD.file.sheet.sections, shown))
    page = page_of(GOOD.with_file(sheet=twice).data, GOOD.beside)
    first, other = b64encode(FRONT), b64encode(BACK)
    assert page.count(first) == 2
    place = page.rindex(first)
    codes = [code for code, _ in told(page[:place] + other + page[place + len(first) :])]
    assert codes == ["sheet-differs", "page-differs"]


def test_a_page_whose_first_record_is_another_is_that_record() -> None:
    found = told(PAGE.replace(RECORD, RECORD + OTHER + b"</script>" + RECORD, 1))
    assert (found[0][0], found[-1][0]) == ("checkpoint-other-key", "page-differs")


BAGS = {
    "a file more": tried("bag-file-extra", "'data/more.txt' is in the bag and not listed", {**BAG, "data/more.txt": b"x"}),
    "a file more, listed": tried("bag-file-extra", "does not belong to the record", resealed(**{"more.txt": b"x"})),
    "a photograph more, listed": tried("bag-file-extra", "does not belong to the record",
                                       resealed(**{f"photographs/{sha256(b'x').hexdigest()}.jpg": b"x"})),
    "a tag file more": tried("bag-file-extra", "'trust-me.txt' is in the bag and does not belong", {**BAG, "trust-me.txt": b"x"}),
    "how to check": tried("bag-file-changed", "'data/how-to-check.txt' is not what the record gives",
                          resealed(**{"how-to-check.txt": b"There is no need to.\n"})),
    "the words": tried("bag-file-changed", "'data/sheet.txt' is not what the record gives", resealed(**{"sheet.txt": b"Untouched.\n"})),
    "an entry by itself": tried("bag-file-changed", "'data/entries/000003.json' is not what the record gives",
                                resealed(**{"entries/000003.json": b"{}"})),
    "how to check left out": tried("bag-file-changed", "'data/how-to-check.txt' is not what", resealed(**{"how-to-check.txt": None})),
    "a photograph, its lists left": tried("picture-changed", f"Photograph {digest_of(FRONT)[:8]} was changed", {**BAG, SHOT: BACK}),
    "a photograph, all lists made to fit": tried("picture-changed", f"Photograph {digest_of(FRONT)[:8]} was changed",
                                                 resealed(**{SHOT.removeprefix("data/"): BACK})),
    "the label": tried("bag-file-changed", "'bag-info.txt' is not what the record gives", write_bag(
        {name: data for name, data in BAG.items() if name.startswith("data/")}, [("Contact-Name", "A neighbour")])),
    "the record left out": tried("file-unreadable", "there is no data/record.json in it",
                                 {name: data for name, data in BAG.items() if name != "data/record.json"}),
    "a list of another kind": tried("bag-malformed", "checksums of the kind md5 are not known here", {**BAG, "manifest-md5.txt": b""}),
    "a file to fetch": tried("bag-malformed", "it names 'data/more.bin', which is not in every list",
                             {**BAG, "fetch.txt": b"http://example.org/x 5 data/more.bin\n"}),
    "a way out in a list": tried("bag-malformed", "is no checksum and path inside the bag", {
        **BAG, "manifest-sha256.txt": BAG["manifest-sha256.txt"] + b"00  ../outside\n"}),
    "two names that are one": tried("bag-names-alike", "are one name on some file systems", {**BAG, "data/SHEET.txt": b"x"}),
}  # fmt: skip


@pytest.mark.parametrize("name", BAGS)
@pytest.mark.parametrize("packed", [False, True], ids=["folder", "zip"])
def test_whatever_is_other_in_a_bag_is_named(name: str, packed: bool) -> None:  # noqa: FBT001 - a parameter
    code, sentence, files = BAGS[name]
    assert isinstance(files, dict)
    found = told(write_zip(files, "record") if packed else files)
    assert any(code == each and sentence in said for each, said in found), found


@pytest.mark.parametrize("name", BAG)
def test_each_file_of_a_bag_is_missed(name: str) -> None:
    without = {other: data for other, data in BAG.items() if other != name}
    codes = {code for code, _ in told(without)}
    assert codes & {"bag-file-missing", "bag-file-changed", "file-unreadable"}


def in_zip(*more: tuple[str | zipfile.ZipInfo, bytes]) -> bytes:
    """The bag zipped by the standard library, with something else in it."""
    return with_files(*((f"record/{name}", data) for name, data in BAG.items()), *more)


def lying(sign: bytes, offset: int, value: int) -> bytes:
    return changed_at(in_zip(), sign, offset, struct.pack("<I", value))


def linked() -> zipfile.ZipInfo:
    info = zipfile.ZipInfo("record/data/photographs/link.jpg")
    info.create_system, info.external_attr = 3, 0o120777 << 16
    return info


ZIPS: dict[str, tuple[str, Callable[[], bytes]]] = {
    "a way out": ("leads elsewhere", lambda: in_zip(("record/../outside.txt", b"x"))),
    "a path from the root": ("leads elsewhere", lambda: in_zip(("/etc/x", b"x"))),
    "a backslash": ("leads elsewhere", lambda: in_zip(("record\\..\\x", b"x"))),
    "a drive": ("leads elsewhere", lambda: in_zip(("C:/x", b"x"))),
    "another folder": ("does not lie in the one folder", lambda: in_zip(("elsewhere/x", b"x"))),
    "a link": ("a link or a device", lambda: in_zip((linked(), b"/etc/passwd"))),
    "a size that lies in the directory": ("said in two ways", lambda: lying(CENTRAL, 24, 1)),
    "a size that lies at the file": ("said in two ways", lambda: lying(LOCAL, 22, 1)),
    "a size beyond the zip": ("said in two ways", lambda: lying(CENTRAL, 20, 0x7FFFFFF0)),
    "a huge size": ("more than", lambda: lying(CENTRAL, 24, 0xFFFFFFF0)),
    "bytes before it": ("belong to none", lambda: b"PK" + in_zip()),
    "words announced behind it that are not there": ("its end says something else", lambda: in_zip()[:-2] + b"\xff\xff"),
    "another disk": ("its end says something else", lambda: changed_at(in_zip(), b"PK\x05\x06", 4, b"\1\0")),
    "more files announced in all than here": ("its end says something else", lambda: changed_at(in_zip(), b"PK\x05\x06", 8, b"\1\0")),
    "cut": ("cannot be read", lambda: in_zip()[:-30]),
    "its sign alone": ("cannot be read", lambda: b"PK\x03\x04"),
}  # fmt: skip


@pytest.mark.parametrize("name", ZIPS)
def test_a_zip_that_lies_is_refused_for_its_reason(name: str) -> None:
    reason, make = ZIPS[name]
    ((code, sentence),) = told(make())
    assert code == "file-unreadable"
    assert reason in sentence


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_files_of_one_name_are_refused_whichever_is_the_good_one() -> None:
    for first, second in ((BACK, FRONT), (FRONT, BACK)):
        files = [(f"record/{name}", data) for name, data in BAG.items() if name != SHOT]
        ((_, sentence),) = told(with_files(*files, (f"record/{SHOT}", first), (f"record/{SHOT}", second)))
        assert "two files have this name" in sentence


def test_a_bag_that_somebody_packed_anew_and_deflated_is_whole() -> None:
    files = [(f"my-record/{name}", data) for name, data in reversed(BAG.items())]
    for how in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        assert checked(with_files(*files, how=how)).whole
        assert disagreements([("", with_files(*files, how=how))], [KEY]) == []


def test_a_bag_in_a_bag_and_a_page_in_a_bag_are_no_record() -> None:
    out = io.BytesIO(in_zip())
    assert told({"data/record.json": out.getvalue()})[0][0] == "file-unreadable"
    assert told({"data/record.json": PAGE})[0][0] == "file-unreadable"


@pytest.mark.parametrize(
    "title", ["</script><script>alert(1)</script>", "<!--<script>", HOSTILE, "]]>", "\u2028</title>"]
)
def test_a_title_that_would_break_out_of_its_place_stays_a_title(title: str) -> None:
    given = a_record()
    made = replace(given.file.sheet, title=title)
    told_of = [each for each in given.made.said if each.kind == "disclosure"][-1]
    assert told_of.body["statement"] == given.file.sheet.digest
    page = page_of(given.with_file(sheet=made).data, given.beside).decode()
    assert page.count("<script") == page.count("</script>") == 2
    assert page.count("<title>") == page.count("</title>") == 1
    assert disagreements([(title, page.encode())], [KEY]) == []


def test_more_bytes_than_a_record_has_are_refused_unread() -> None:
    sentence = told({**BAG, "data/record.json": bytes(67_108_865)})[0][1]
    assert "it has more than 67108864 bytes" in sentence


CUT = {name: form(GOOD) for name, form in FORMS.items() if name != "folder"}


@pytest.mark.parametrize("name", CUT)
def test_a_form_cut_anywhere_is_never_whole(name: str) -> None:
    form = CUT[name]
    assert isinstance(form, bytes)
    for end in {0, 1, 2, 3, 9, 10, *range(11, len(form), len(form) // 40), len(form) - 1}:
        assert not checked(form[:end]).whole


def sizeless(data: bytes) -> bytes:
    return re.sub(rb'"size":[0-9]+', b"", data)


@settings(max_examples=count(60, 10_000), deadline=None)
@given(st.sampled_from(sorted(CUT)), st.data())
def test_one_bit_changed_anywhere_is_named_or_changes_no_file(name: str, drawn: st.DataObject) -> None:
    """A zip has bytes that say nothing of its files, such as a day; whoever packs a bag anew may set others.

    A record alone has no photographs beside it, so that their sizes cannot be checked.
    """
    form = CUT[name]
    assert isinstance(form, bytes)
    place, bit = drawn.draw(st.integers(0, len(form) - 1)), drawn.draw(st.integers(0, 7))
    damaged = form[:place] + bytes([form[place] ^ 1 << bit]) + form[place + 1 :]
    found = checked(damaged)
    same = {
        "bag": lambda: read_zip(damaged) == read_zip(form),
        "record.json": lambda: sizeless(damaged) == sizeless(form),
    }
    assert not found.whole or same[name]()
    assert bool(found.report.findings) is not found.whole


@settings(max_examples=count(60, 10_000), deadline=None)
@given(st.sampled_from(sorted(BAG)), st.data())
def test_one_bit_changed_in_an_unpacked_bag_is_named(name: str, drawn: st.DataObject) -> None:
    data = BAG[name]
    place, bit = drawn.draw(st.integers(0, len(data) - 1)), drawn.draw(st.integers(0, 7))
    damaged = {**BAG, name: data[:place] + bytes([data[place] ^ 1 << bit]) + data[place + 1 :]}
    assert checked(damaged).report.findings


@settings(max_examples=count(60, 10_000), deadline=None)
@given(
    st.sampled_from([b"", b"PK\x03\x04", b"<!DOCTYPE html>", b"%PDF-1.7\n", b'{"collection":[', RECORD]),
    st.binary(max_size=400),
)
def test_bytes_by_chance_are_no_record_and_crash_nothing(start: bytes, rest: bytes) -> None:
    found = checked(start + rest)
    assert [each.code for each in found.report.findings] == ["file-unreadable"]


def test_the_bag_of_two_owners_is_whole_and_each_of_its_files_counts() -> None:
    files = read_zip(bag_of(TWICE.data, TWICE.beside))
    assert checked(files).whole
    for name, data in files.items():
        assert not checked({**files, name: data + b" "}).whole, name

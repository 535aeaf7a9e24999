"""An archive that was tampered with is refused by name, whatever was done to it, and nothing of it is written."""

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from ledger.adapters.keys import signer_of
from ledger.archive.layout import Head, to_sign
from ledger.errors import ConflictError, LedgerError
from ledger.keeping.bring_in import bring_in
from ledger.settings import Settings
from tests.keeping.archived import PASSPHRASE, Files, archive_of, changed, files_of, listed_anew, written
from tests.keeping.conftest import House, a_house
from tests.usecases.tampering import OTHER_SEED


@dataclass(frozen=True)
class Sent:
    """An archive as it was written, and a place for it."""

    data: bytes
    files: Files
    place: Settings
    around: Path

    @property
    def collection(self) -> str:
        return Head.from_bytes(self.files["data/archive.json"]).collection

    def bring(self, data: bytes, **options: str) -> None:
        path = self.around / "sent.zip"
        path.write_bytes(data)
        bring_in(path, self.place, **options)  # type: ignore[arg-type]

    @property
    def written_to(self) -> bool:
        return Path(self.place.folder).exists()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[House, bytes, Files]]:
    with a_house("sqlite", tmp_path_factory.mktemp("house")) as house:
        path = archive_of(house.settings, house.around / "all.zip", PASSPHRASE)
        yield house, path.read_bytes(), files_of(path)


@pytest.fixture
def sent(made: tuple[House, bytes, Files], tmp_path: Path) -> Sent:
    house, data, files = made
    return Sent(data, files, replace(house.settings, folder=str(tmp_path / "back")), tmp_path)


def picture_in(files: Files) -> str:
    return next(name for name in files if name.startswith("data/pictures/"))


def one_changed(name: str) -> Callable[[Files], Files]:
    return lambda files: {**files, name: changed(files[name])}


def one_less(name: str) -> Callable[[Files], Files]:
    return lambda files: {each: data for each, data in files.items() if each != name}


def one_more(name: str) -> Callable[[Files], Files]:
    return lambda files: {**files, name: b"something\n"}


def other_picture(files: Files) -> Files:
    return {**files, picture_in(files): b"another picture"}


def less_picture(files: Files) -> Files:
    return one_less(picture_in(files))(files)


def more_picture(files: Files) -> Files:
    name = "5" * 64
    return {**files, f"data/pictures/55/{name}": b"x"}


BAG: dict[str, tuple[Callable[[Files], Files], str]] = {
    "an entry changed": (one_changed("data/entries.jsonl"), r"entries\.jsonl was changed|cannot be read"),
    "a table changed": (one_changed("data/tables/collection.jsonl"), r"line 1 is no row"),
    "a photograph changed": (other_picture, "not the photograph of that digest"),
    "the key changed": (one_changed("data/keys.json"), "keys.json was changed"),
    "its own head changed": (one_changed("data/archive.json"), "What the archive says of itself"),
    "the label changed": (one_changed("bag-info.txt"), "The label of the bag was changed"),
    "the list changed": (one_changed("manifest-sha256.txt"), "The list of checksums was changed|is missing"),
    "the list of the bag's own files changed": (one_changed("tagmanifest-sha256.txt"), "tagmanifest-sha256.txt"),
    "the signature changed": (one_changed("signed.txt"), "The signed statement was changed"),
    "the first lines changed": (one_changed("bagit.txt"), "says this is a bag was changed"),
    "the entries missing": (one_less("data/entries.jsonl"), r"data/entries\.jsonl is missing"),
    "a table missing": (one_less("data/tables/sealed_value.jsonl"), r"sealed_value\.jsonl is missing"),
    "a photograph missing": (less_picture, r"data/pictures/.* is missing"),
    "the key missing": (one_less("data/keys.json"), r"data/keys\.json is missing"),
    "its own head missing": (one_less("data/archive.json"), "archive says of itself, which is missing"),
    "the label missing": (one_less("bag-info.txt"), r"bag-info\.txt is missing"),
    "the list missing": (one_less("manifest-sha256.txt"), r"manifest-sha256\.txt is missing"),
    "the signature missing": (one_less("signed.txt"), "The signed statement is missing"),
    "the first file missing": (one_less("bagit.txt"), r"bagit\.txt is missing"),
    "a file extra": (one_more("data/notes.txt"), "extra"),
    "a file extra outside": (one_more("readme.txt"), "extra"),
    "a table extra": (one_more("data/tables/surprises.jsonl"), "no such table"),
    "a photograph extra": (more_picture, "not the photograph of that digest"),
    "a folder climbed out of": (one_more("../../evil.txt"), "leads elsewhere"),
    "a folder climbed out of below": (one_more("data/pictures/../../../evil.txt"), "leads elsewhere"),
    "an absolute name": (one_more("/etc/evil"), "leads elsewhere"),
    "a drive": (one_more("C:/evil"), "leads elsewhere"),
    "a backslash": (one_more("data\\evil"), "leads elsewhere"),
    "an end of a line in a name": (one_more("data/e\nvil"), "leads elsewhere|cannot be shown"),
}


@pytest.mark.parametrize("name", BAG)
def test_whatever_was_done_to_its_files_is_named_and_nothing_is_written(sent: Sent, name: str) -> None:
    harm, says = BAG[name]
    with pytest.raises(LedgerError, match=says):
        sent.bring(written(harm(dict(sent.files))))
    assert not sent.written_to


def entry_of_another(files: Files) -> Files:
    lines = files["data/entries.jsonl"].splitlines(keepends=True)
    return {**files, "data/entries.jsonl": b"".join(lines[:-1])}


def swapped(files: Files) -> Files:
    lines = files["data/entries.jsonl"].splitlines(keepends=True)
    lines[2], lines[3] = lines[3], lines[2]
    return {**files, "data/entries.jsonl": b"".join(lines)}


def one_row_less(files: Files) -> Files:
    name = "data/tables/sealed_value.jsonl"
    return {**files, name: b"".join(files[name].splitlines(keepends=True)[1:])}


def row(table: str, line: bytes) -> Callable[[Files], Files]:
    name = f"data/tables/{table}.jsonl"
    return lambda files: {**files, name: line + b"".join(files[name].splitlines(keepends=True)[1:])}


def said(old: bytes, new: bytes) -> Callable[[Files], Files]:
    def harm(files: Files) -> Files:
        assert old in files["data/archive.json"]
        return {**files, "data/archive.json": files["data/archive.json"].replace(old, new)}

    return harm


WITH_LISTS: dict[str, tuple[Callable[[Files], Files], str]] = {
    "the last entry cut": (entry_of_another, "signed over 5 entries and 4 are here"),
    "two entries swapped": (swapped, "stands in place"),
    "a row of a table cut": (one_row_less, "rows are said to be here"),
    "a row with a column more": (row("person", b'{"id":"x","more":1}\n'), "other columns"),
    "a row that is no JSON": (row("person", b"{\n"), "line 1 is no row"),
    "a row with a name twice": (row("person", b'{"id":"a","id":"b"}\n'), "line 1 is no row"),
    "a row with a fraction": (row("person", b'{"id":1.5}\n'), "line 1 is no row"),
    "a row spelled otherwise": (row("person", b'{ "id":"x"}\n'), "line 1 is no row"),
    "a version that is not known": (said(b"slipsheet-archive/1", b"slipsheet-archive/2"), "not 'slipsheet-archive/2'"),
    "more photographs said than there are": (said(b'"pictures":4', b'"pictures":5'), "5 photographs are said"),
    "no key said": (said(b'"keys":true', b'"keys":false'), "Whether the key is in it"),
    "a photograph left out": (less_picture, "photographs are said to be here"),
}


@pytest.mark.parametrize("name", WITH_LISTS)
def test_lists_that_were_made_to_fit_hide_nothing(sent: Sent, name: str) -> None:
    harm, says = WITH_LISTS[name]
    with pytest.raises(LedgerError, match=says):
        sent.bring(written(listed_anew(harm(dict(sent.files)))))
    assert not sent.written_to


def another_beginning(files: Files) -> Files:
    """A change that fits everything: only what was signed shows it."""
    name = "data/tables/collection.jsonl"
    return {**files, name: files[name].replace(b'"created":"2', b'"created":"1')}


def test_what_fits_in_every_way_is_not_what_was_signed(sent: Sent) -> None:
    files = listed_anew(another_beginning(dict(sent.files)))
    assert files != sent.files
    with pytest.raises(ConflictError, match="signed statement of the archive is about other files"):
        sent.bring(written(files))
    assert not sent.written_to


def signed_by_another(sent: Sent) -> bytes:
    files = dict(sent.files)
    text = sent.files["signed.txt"].decode().split("\n\n", 1)[0] + "\n"
    files["signed.txt"] = signer_of(sent.collection, OTHER_SEED).sign(text).encode()
    return written(listed_anew(files))


def test_a_signature_of_another_key_is_refused(sent: Sent) -> None:
    with pytest.raises(ConflictError, match="signed neither by the key at hand nor by one that its own entries name"):
        sent.bring(signed_by_another(sent))
    assert not sent.written_to


def test_a_statement_of_another_kind_is_no_signature_of_it(sent: Sent) -> None:
    head = Head.from_bytes(sent.files["data/archive.json"])
    assert sent.files["signed.txt"].decode().startswith(to_sign(head, "")[:40])
    other = signer_of(sent.collection, OTHER_SEED)
    with pytest.raises(ConflictError, match="not signed by the key that was named"):
        sent.bring(sent.data, vkey=other.verifier.vkey)
    assert not sent.written_to


def unsigned(sent: Sent) -> bytes:
    return written(listed_anew(one_less("signed.txt")(dict(sent.files))))


def test_one_without_a_signature_is_taken_unless_a_key_was_named(sent: Sent) -> None:
    other = signer_of(sent.collection, OTHER_SEED)
    with pytest.raises(ConflictError, match="not signed, so the key that was named says nothing"):
        sent.bring(unsigned(sent), vkey=other.verifier.vkey)
    assert not sent.written_to
    (sent.around / "plain.zip").write_bytes(unsigned(sent))
    done = bring_in(sent.around / "plain.zip", sent.place)
    assert (done.signed, done.trusted, done.report.findings) == (False, False, [])


def test_another_passphrase_opens_nothing_and_writes_nothing(sent: Sent) -> None:
    with pytest.raises(ConflictError, match="passphrase does not open the key"):
        sent.bring(sent.data, passphrase="another row of walnut shelves")
    assert not sent.written_to


def test_a_passphrase_for_an_archive_without_a_key_says_so(sent: Sent) -> None:
    files = said(b'"keys":true', b'"keys":false')(one_less("data/keys.json")(one_less("signed.txt")(dict(sent.files))))
    with pytest.raises(ConflictError, match="no key in this archive"):
        sent.bring(written(listed_anew(files)), passphrase=PASSPHRASE)
    assert not sent.written_to


@pytest.mark.parametrize("part", [0.0, 0.01, 0.3, 0.5, 0.9, 0.999])
def test_one_that_was_cut_short_is_refused(sent: Sent, part: float) -> None:
    with pytest.raises(LedgerError, match=r"cut short|no archive|is missing"):
        sent.bring(sent.data[: int(len(sent.data) * part)])
    assert not sent.written_to


def test_one_with_bytes_behind_its_end_is_refused(sent: Sent) -> None:
    with pytest.raises(LedgerError, match="bytes behind it"):
        sent.bring(sent.data + b"PK")
    assert not sent.written_to


def lying(data: bytes, size: int) -> bytes:
    """The entries are said to have so many bytes, in the header that stands before them."""
    name = b"slipsheet-archive/data/entries.jsonl"
    at = data.index(name) + len(name) + 4
    return data[:at] + struct.pack("<QQ", size, size) + data[at + 16 :]


@pytest.mark.parametrize("size", [0, 1, 10, 10**6, 2**40, 2**64 - 1])
def test_a_size_that_lies_is_refused(sent: Sent, size: int) -> None:
    with pytest.raises(LedgerError, match=r"cut short|more bytes than the file has|was changed|no end|ends otherwise"):
        sent.bring(lying(sent.data, size))
    assert not sent.written_to


def test_a_file_that_lies_in_it_twice_is_refused(sent: Sent) -> None:
    once = written({"bagit.txt": sent.files["bagit.txt"]})
    local = once[: once.index(b"PK\x01\x02")]
    with pytest.raises(LedgerError, match="two files have this name"):
        sent.bring(local + sent.data)
    assert not sent.written_to


@pytest.mark.parametrize("data", [b"", b"no zip at all" * 100, b"PK\x05\x06" + bytes(18), b"PK\x03\x04"])
def test_what_is_no_archive_is_refused(sent: Sent, data: bytes) -> None:
    with pytest.raises(LedgerError, match=r"no archive|cut short|ends otherwise"):
        sent.bring(data)
    assert not sent.written_to


def test_no_single_bit_of_it_can_be_changed_unseen(sent: Sent) -> None:
    """Some of them in each run, spread over all of it; a bit of the wrapping, of a file or of a list."""
    for at in range(0, len(sent.data), len(sent.data) // 97):
        with pytest.raises(LedgerError):
            sent.bring(changed(sent.data, at))
        assert not sent.written_to

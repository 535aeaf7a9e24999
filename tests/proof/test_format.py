"""FORMAT.md is held against a second verifier, written here from that page alone, and against the code it describes."""

import json
import re
from base64 import b64decode, b64encode, urlsafe_b64decode, urlsafe_b64encode
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from ledger.proof import chain, proof_file
from ledger.proof.canonical import DEEPEST, GREATEST
from ledger.proof.eight import STRENGTH, list_of_words
from ledger.proof.forms import HOW_TO, bag_of
from ledger.proof.handed import _DEEPEST
from ledger.proof.key_chain import KEYS_FORMAT
from ledger.proof.note import MOST_SIGNATURES
from ledger.proof.page import PAGE as PAGE_MAKE
from ledger.proof.record import verify
from ledger.proof.record_file import MEDIA, RECORD_FORMAT
from ledger.proof.sheet import SHAPES, SHEET_FORMAT
from ledger.proof.signature import SigningKey
from ledger.proof.zipped import BYTES_MOST, FILES_MOST, read_zip
from tests.proof.making import BOOK_A, BOOK_B, COLLECTION, OWNER_SEED, Made, a_price
from tests.proof.recording import a_record
from tests.proof.test_record import damaged
from tests.proof.vectors import VECTORS, each_in

PROOF = Path(chain.__file__).parent
PAGE = (PROOF / "FORMAT.md").read_text("utf-8")
EXAMPLE: dict[str, str] = dict(re.findall(r"^```text (\S+)\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE))


def an_example() -> dict[str, str]:
    """The blocks of section 9, by name."""
    made = Made()
    made.write("purchase", BOOK_A, on="1987", body={"means": "bought"}, sealed={"price": a_price(1250), "seller": None})
    made.write("purchase", BOOK_B, on="1987", body={"means": "bought"}, sealed={"price": a_price(900), "seller": None})
    made.write("arrival", BOOK_A, on="2026-03-02")
    key = SigningKey.from_seed(made.checkpoint.origin, OWNER_SEED).verifier
    file = made.proof_file(BOOK_A)
    blocks = {f"entry-{seq}": data.decode() for seq, data in enumerate(made.entries, 1)}
    blocks["leaves"] = "\n".join(entry.leaf.hex() for entry in made.said)
    blocks["root"] = made.checkpoint.root.hex()
    blocks["inclusion-of-entry-1"] = "\n".join(each.hex() for each in file.entries[0].proof)
    blocks["inclusion-of-entry-3"] = "\n".join(each.hex() for each in file.entries[1].proof)
    blocks["head-of-book-1"] = made.heads[BOOK_A].to_bytes().decode()
    blocks["head-of-book-2"] = made.heads[BOOK_B].to_bytes().decode()
    blocks["heads-root"] = made.checkpoint.heads_root.hex()
    blocks["disclosure-of-the-price"] = made.openings[1]["price"]
    blocks["seed"] = OWNER_SEED.hex()
    blocks["verifier-key"] = key.vkey
    blocks["note"] = made.note.removesuffix("\n")
    return {name: block + "\n" for name, block in blocks.items()}


def block(name: str) -> str:
    return EXAMPLE[name].removesuffix("\n")


def lines(name: str) -> list[bytes]:
    return [bytes.fromhex(line) for line in block(name).split("\n")]


def leaf_of(data: bytes) -> bytes:
    return sha256(b"\x00" + data).digest()


def climb(index: int, size: int, found: bytes, proof: list[bytes]) -> bytes:
    """Section 3: up from a leaf, splitting the list as the page says."""
    if size == 1:
        assert not proof
        return found
    middle = 1
    while middle * 2 < size:
        middle *= 2
    *lower, top = proof
    if index < middle:
        return sha256(b"\x01" + climb(index, middle, found, lower) + top).digest()
    return sha256(b"\x01" + top + climb(index - middle, size - middle, found, lower)).digest()


def one_form(value: Any) -> bytes:
    """Section 1, for names and texts in ASCII, where Python's own writer does the same."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def unpadded(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


def signed_text(note: str, vkey: str) -> str:
    """Section 6: the text of a note with one signature."""
    name, key_id, typed = vkey.split("+", 2)
    key = b64decode(typed)
    assert sha256(name.encode() + b"\n" + key).digest()[:4].hex() == key_id
    text, _, signatures = note.rpartition("\n\n")
    signer, encoded = re.fullmatch("\u2014 (\\S+) (\\S+)\n", signatures).groups()  # type: ignore[union-attr]  # or fail
    assert signer == name
    assert b64decode(encoded)[:4].hex() == key_id
    Ed25519PublicKey.from_public_bytes(key[1:]).verify(b64decode(encoded)[4:], f"{text}\n".encode())
    return f"{text}\n"


def second_opinion(data: bytes, vkey: str) -> str:
    """Section 8, steps 1 to 5, as briefly as can be: it fails on whatever is wrong, and gives the book."""
    file = json.loads(data)
    origin, size, root, heads = signed_text(file["checkpoint"], vkey).split("\n")[:4]
    assert origin == vkey.split("+", 1)[0]
    head, before = file["head"], None
    for number, each in enumerate(file["entries"], 1):
        stored = b64decode(each["bytes"])
        entry = json.loads(stored)
        assert entry["fmt"] == "slipsheet/1"
        assert f"{entry['collection']}.slipsheet.invalid" == origin
        assert (entry["book"], entry["book_no"], entry["book_seq"]) == (head["book"], head["book_no"], number)
        assert entry["book_prev"] == before
        proof = [b64decode(text) for text in each["proof"]]
        assert climb(entry["seq"] - 1, int(size), leaf_of(stored), proof) == b64decode(root)
        for text in each["open"]:
            digest = urlsafe_b64encode(sha256(text.encode()).digest()).rstrip(b"=").decode()
            assert entry["sealed"][json.loads(unpadded(text))[1]] == digest
        before = leaf_of(stored).hex()
    assert (head["leaf"], head["book_seq"]) == (before, len(file["entries"]))
    _, count, heads_root = heads.split(" ")
    leaf = leaf_of(one_form({name: head[name] for name in ("book", "book_no", "book_seq", "leaf")}))
    proof = [b64decode(text) for text in head["proof"]]
    assert climb(head["book_no"] - 1, int(count), leaf, proof) == b64decode(heads_root)
    return str(head["book"])


def test_the_example_is_the_one_the_code_makes() -> None:
    assert an_example() == EXAMPLE


def test_the_example_holds_with_nothing_but_hashes() -> None:
    entries = [block(f"entry-{seq}").encode() for seq in (1, 2, 3)]
    leaves = [leaf_of(entry) for entry in entries]
    assert leaves == lines("leaves")
    assert [one_form(json.loads(entry)) for entry in entries] == entries
    root = bytes.fromhex(block("root"))
    assert climb(0, 3, leaves[0], lines("inclusion-of-entry-1")) == root
    assert climb(2, 3, leaves[2], lines("inclusion-of-entry-3")) == root
    heads = [leaf_of(block(f"head-of-book-{number}").encode()) for number in (1, 2)]
    assert sha256(b"\x01" + heads[0] + heads[1]).hexdigest() == block("heads-root")
    assert json.loads(block("head-of-book-1"))["leaf"] == leaves[2].hex()


def test_the_links_of_the_example_hold() -> None:
    first, other, last = (json.loads(block(f"entry-{seq}")) for seq in (1, 2, 3))
    assert last["book_prev"] == leaf_of(block("entry-1").encode()).hex()
    assert (first["book_prev"], other["book_prev"]) == (None, None)
    assert [entry["book_no"] for entry in (first, other, last)] == [1, 2, 1]


def test_the_sealed_price_of_the_example_opens() -> None:
    text = block("disclosure-of-the-price")
    salt, name, value = json.loads(unpadded(text))
    assert len(unpadded(salt)) == 16
    assert (name, value["minor"]) == ("price", 1250)
    digest = urlsafe_b64encode(sha256(text.encode()).digest()).rstrip(b"=").decode()
    assert json.loads(block("entry-1"))["sealed"]["price"] == digest


def test_the_signature_of_the_example_holds() -> None:
    text = signed_text(EXAMPLE["note"], block("verifier-key"))
    origin, size, root, heads, end = text.split("\n")
    assert (origin, size, end) == (f"{COLLECTION}.slipsheet.invalid", "3", "")
    assert b64decode(root).hex() == block("root")
    assert heads == f"heads 2 {b64encode(bytes.fromhex(block('heads-root'))).decode()}"
    private = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(block("seed")))
    assert b64decode(block("verifier-key").split("+", 2)[2])[1:] == private.public_key().public_bytes_raw()


KEY = SigningKey.from_seed(f"{COLLECTION}.slipsheet.invalid", OWNER_SEED).verifier


def plainly_bad() -> list[Any]:
    """Damaged records, but those that only an older checkpoint shows and those that only a strict reader sees."""
    strict = ("file-unreadable", "opened twice", "in capitals")
    cases = [case for case in each_in("record/damaged") if "held" not in case.values[0]]
    return [case for case in cases if not any(word in json.dumps(case.values[0]) for word in strict)]


def test_a_second_verifier_written_from_the_page_finds_the_good_record_good() -> None:
    assert second_opinion((VECTORS / "record" / "good.json").read_bytes(), KEY.vkey) == BOOK_A


@pytest.mark.parametrize("case", plainly_bad())
def test_a_second_verifier_written_from_the_page_refuses_what_this_one_refuses(case: Any) -> None:
    data = json.dumps(damaged(case["changes"])).encode()
    assert not verify(data, [KEY]).ok
    with pytest.raises((AssertionError, InvalidSignature, ValueError, AttributeError, KeyError, TypeError)):
        second_opinion(data, KEY.vkey)


def codes_in(*names: str) -> set[str]:
    """What looks like a code in the text of these parts."""
    return {code for name in names for code in CODE.findall((PROOF / f"{name}.py").read_text("utf-8"))}


def codes_of(section: int) -> set[str]:
    """The codes in the first column of the table of a section."""
    rows = re.findall(r"^\| (`.*?`) \|", PAGE.split(f"\n## {section}. ", 1)[1].split("\n## ", 1)[0], re.MULTILINE)
    return {code for row in rows for code in re.findall(r"`([a-z]+(?:-[a-z]+)+)`", row)}


CODE = re.compile(r'"([a-z]+(?:-[a-z]+)+)"')
OF_A_BOOK = ("chain", "heads", "record", "held", "book_chain")
OF_A_RECORD = ("handed", "given", "forms", "bag", "vouched", "key_chain")


def test_every_code_that_the_verifiers_say_is_on_the_page_and_no_other() -> None:
    assert codes_of(8) == codes_in(*OF_A_BOOK)
    assert codes_of(17) - codes_of(8) == codes_in(*OF_A_RECORD) - codes_of(8)
    assert codes_of(17) & codes_of(8) == {"file-unreadable"}


def test_every_code_of_a_record_is_found_by_a_test_of_tampering() -> None:
    tried = "".join(path.read_text("utf-8") for path in Path(__file__).parent.glob("*.py") if path != Path(__file__))
    assert {code for code in codes_of(17) if f'"{code}"' not in tried and f"  {code}" not in tried} == set()


@pytest.mark.parametrize(
    "word",
    [
        f'"{chain.FMT}"',
        proof_file.PROOF_FORMAT,
        str(GREATEST),
        f"most {DEEPEST} deep",
        f"most {MOST_SIGNATURES} ",
        f'"{RECORD_FORMAT}"',
        f'"{SHEET_FORMAT}"',
        f'"{KEYS_FORMAT}"',
        f'content="{PAGE_MAKE}"',
        f"most {64 * 1024 * 1024:,} bytes",
        f"most {FILES_MOST:,} files and {BYTES_MOST:,} bytes",
        f"first {STRENGTH} bits",
        f"{len(list_of_words()):,} words",
        f"No more than {_DEEPEST} lie inside one another",
        *(f"`{shape}`" for shape in SHAPES),
        *(f"`{media}`" for media in MEDIA),
    ],
)
def test_the_page_names_the_limits_of_the_code(word: str) -> None:
    assert word in PAGE


def test_the_page_names_every_name_of_a_record_and_of_its_sheet() -> None:
    given = a_record(earlier=a_record())
    section = PAGE.split("\n## 10. ", 1)[1].split("\n## 11. ", 1)[0]
    assert re.findall(r'^ +[{ ]"(\w+)":', section, re.MULTILINE) == sorted(given.file.to_plain())
    table = dict(
        re.findall(r"^\| `(\w+)` \| (.*?) \|", PAGE.split("\n## 11. ", 1)[1].split("\n## 12. ", 1)[0], re.MULTILINE)
    )
    blocks = {type(each): each.plain() for part in given.file.sheet.sections for each in part.blocks}
    assert {str(each["kind"]) for each in blocks.values()} == table.keys() - {"kind"}
    for each in blocks.values():
        assert set(re.findall(r"`(\w+)`", table[str(each["kind"])])) == each.keys() - {"kind"}


def test_the_text_on_checking_by_hand_is_the_one_on_the_page() -> None:
    assert PAGE.split("```how-to-check\n", 1)[1].split("```\n", 1)[0] == HOW_TO


def test_the_page_names_every_file_of_a_bag() -> None:
    table = PAGE.split("\n## 14. ", 1)[1].split("\n## 15. ", 1)[0]
    told = [each.split("`")[1] for each in re.findall(r"^\| (`.*?) \|", table, re.MULTILINE)]
    given = a_record(earlier=a_record())
    for name in read_zip(bag_of(given.data, given.beside)):
        assert any(name == each or (name.startswith(each) and each.endswith("/")) for each in told) or name.startswith(
            "data/entries/"
        ), name


def test_the_page_names_every_field_of_an_entry_in_its_order() -> None:
    table = PAGE.split("## 2", 1)[1].split("## 3", 1)[0]
    assert re.findall(r"^\| `(\w+)`", table, re.MULTILINE) == list(chain.Envelope.__dataclass_fields__)

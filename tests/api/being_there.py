"""What must be there before every operation of the service can be asked for, each put in by the service itself."""

from base64 import b64encode
from typing import Any

from api.examples import REQUESTS
from ledger.adapters.makings import FileMakings
from ledger.ports import Ledger
from ledger.proof.cosigning import line_text
from ledger.proof.signature import CosigningKey
from ledger.usecases.photograph import Shot, photograph
from seeds.draw import draw
from tests.api.door import OWNER, Door
from tests.api.good_bodies import GOOD_BODIES
from tests.photographed import as_jpeg

COUNTED = (
    *("/books/{book}/costs", "/costs", "/costs/{year}", "/costs/{year}/table"),
    *("/insurance/schedule", "/insurance/schedule/table", "/books/{book}/worth"),
)
"""Answers in one currency."""


def two_fronts(ledger: Ledger, book: str) -> list[int]:
    """The entries of two photographs of one face."""
    shots = [Shot(data=as_jpeg(draw("unlit-stair-4").rotate(turned)), said={}) for turned in (0, 3)]
    return [each.seq for each in photograph(ledger, OWNER, book, shots).entries]


def a_stamp(door: Door) -> dict[str, str]:
    """What a neighbour cosigned of the checkpoint of now."""
    note = door.client.post("/checkpoint").json()["note"]
    key = CosigningKey.from_seed("a-neighbour", b"\x0b" * 32)
    line = line_text(key.line(note.partition("\n\n")[0] + "\n", 1767225600))
    return {"stamp": b64encode(line.encode()).decode(), "key": key.verifier.vkey}


def three_tools(door: Door) -> dict[str, str]:
    """One to read, one to change and one to take away."""
    cold = REQUESTS["add_tool"]["cold"]["value"]
    ids = [door.post("/bench/tools", {**cold, "name": name}).json()["id"] for name in ("One", "Two", "Three")]
    GOOD_BODIES["PUT /bench/tools/{tool}"]["name"] = "Two"
    return dict(zip(("tool", "PUT /bench/tools/{tool}", "DELETE /bench/tools/{tool}"), ids, strict=True))


def two_comparables(door: Door) -> dict[str, str]:
    """One to read and change, and one to take away."""
    body = REQUESTS["keep_comparable"]["auction"]["value"]
    sale, gone = (door.post("/comparables", body).json()["id"] for _ in range(2))
    return {"sale": sale, "DELETE /comparables/{sale}": gone}


def prospects_and_batches(door: Door) -> dict[str, str]:
    """A prospect for each way that ends it, and a batch for each way on."""
    listing = REQUESTS["keep_prospect"]["listing"]["value"]
    ends = ("prospect", *(f"{way} /prospects/{{prospect}}{rest}" for way, rest in ENDS))
    names = {each: door.post("/prospects", listing).json()["id"] for each in ends}
    GOOD_BODIES["POST /submissions"]["books"] = [{"book": door.a_book()}]
    for way, name in (("batch", "one"), ("POST /submissions/{batch}/news", "two"), (RESULTS, "three")):
        book = door.a_book()
        sent = door.post("/submissions", {"batch": name, "books": [{"book": book}]})
        assert sent.status_code == 201, sent.text
        names[way] = name
    row = REQUESTS["write_results"]["graded"]["value"]["results"][0]
    GOOD_BODIES[RESULTS] = {"results": [{**row, "book": book}]}
    return names


RESULTS = "POST /submissions/{batch}/results"
ENDS = (("PUT", "/verdict"), ("POST", "/purchase"), ("DELETE", ""))


def a_load_that_goes_on(door: Door) -> str:
    """One by the first of two steps."""
    steps = [{"technique": "dry-cleaning"}, {"technique": "cold-press"}]
    recipe = door.post("/bench/recipes", {"name": "Two steps", "steps": steps}).json()["id"]
    load: str = door.post("/bench/loads", {"books": [door.a_book()], "values": steps[0], "recipe": recipe}).json()["id"]
    return load


def runs_and_wants(door: Door) -> dict[str, str]:
    """A run to read, one to say nothing of, a want to change, and one to take away."""
    said = REQUESTS["state_run"]["said"]["value"]
    run, gone = (door.post("/runs", {**said, "title": title}).json()["run"] for title in ("One", "Two"))
    body = REQUESTS["keep_want"]["copy"]["value"]
    want, off = (door.post("/wants", body).json()["id"] for _ in range(2))
    return {"run": run, "DELETE /runs/{run}": gone, "want": want, "DELETE /wants/{want}": off}


def a_rate(door: Door) -> str:
    """One that can be taken away."""
    body = {"of": "GBP", "into": "EUR", "on": "2024-03-01", "rate": "1.17", "source": "a bank"}
    made: str = door.post("/rates", {"rates": [body]}).json()["rates"][0]["id"]
    return made


def two_barcodes(door: Door) -> dict[str, str]:
    """A code to look up and keep, and one that can be forgotten."""
    GOOD_BODIES["PUT /barcodes/{code}"] = {"book": door.a_book()}
    made = door.client.put("/barcodes/614141000036-00111", json=GOOD_BODIES["PUT /barcodes/{code}"])
    assert made.status_code == 200, made.text
    return {"code": "614141000036-01411", "DELETE /barcodes/{code}": "614141000036-00111"}


def a_record(door: Door) -> dict[str, str]:
    """A record, a link to it, and its page as what is checked and received."""
    own = door.post(f"/books/{door.a_book()}/records", {}).json()["sha256"]
    page = door.get(f"/records/{own}?form=file").content
    GOOD_BODIES["POST /records/check"] = GOOD_BODIES["POST /books/{book}/records/received"] = page
    links = [door.post(f"/records/{own}/links", {"days": 9}).json()["id"] for _ in range(2)]
    return {
        "link": links[0],
        "GET /records/{sha256}": own,
        "POST /records/{sha256}/links": own,
        "DELETE /records/links/{link}": links[1],
    }


def two_archives(door: Door) -> dict[str, str]:
    """One to read and fetch, and one to take away; both are ready."""
    found = []
    for _ in range(2):
        found.append(door.post("/exports", {}).json()["id"])
        assert isinstance(door.ledger.exports, FileMakings)
        door.ledger.exports.wait()
    return {"export": found[0], "DELETE /exports/{export}": found[1]}


def two_catalogues(door: Door) -> dict[str, str]:
    """One to read and fetch, and one to take away; both are ready."""
    found = []
    for _ in range(2):
        found.append(door.post("/catalogues", {}).json()["id"])
        assert isinstance(door.ledger.catalogues, FileMakings)
        door.ledger.catalogues.wait()
        assert door.get(f"/catalogues/{found[-1]}").json()["state"] == "ready"
    return {"catalogue": found[0], "DELETE /catalogues/{catalogue}": found[1]}


def tables_on_their_way(door: Door) -> dict[str, str]:
    """One to look at and change, one that is tried and can be brought in, and one to put away."""
    made = []
    for number in range(3):
        file = f"Title;No;Quality\nTin Tower;{number};VF/NM\n".encode()
        told = door.post("/imports", file, Content_Type="text/csv", Idempotency_Key="")
        assert told.status_code == 201, told.text
        made.append(told.json()["id"])
    assert door.client.post(f"/imports/{made[1]}/trial").status_code == 200
    return dict(zip(("sheet", "POST /imports/{sheet}/books", "DELETE /imports/{sheet}"), made, strict=True))


def a_room(door: Door) -> str:
    """One of one wall; and a book that can be moved."""
    walls = [{"id": "n", "width_cm": "412", "height_cm": "262", "outer": False}]
    made = door.post("/events", {"kind": "room", "room": "study", "walls": walls})
    assert made.status_code == 201, made.text
    GOOD_BODIES["POST /places/move"] = {"moves": [{"book": door.a_book(), "spot": "box", "place": "Box 4"}]}
    return "study"


def a_log(door: Door) -> dict[str, str]:
    """A file of two channels, the first of them taken in."""
    sent = door.post("/climate", GOOD_BODIES["POST /climate"], Content_Type="text/csv", Idempotency_Key="").json()
    door.post(f"/climate/{sent['sha256']}", {"channels": [{"channel": 1, "room": "study"}]})
    return {"room": "study", "POST /climate/{sha256}": sent["sha256"]}


def queries(ledger: Ledger, book: str) -> dict[str, dict[str, Any]]:
    """What an address is asked with where it takes no body."""
    asked: dict[str, dict[str, Any]] = {
        "GET /proofs/inclusion": {"seq": 1},
        "GET /comparables": {"title": "The Copper Lantern", "number": "14", "start_year": 1962},
        "GET /books/{book}/value": {"grade": "9.0", "currency": "USD"},
        "GET /find": {"q": "lantern"},
        "GET /outlooks/reading": {"said": "60 % 7.5, 25 % 8.0, rest below"},
        "GET /proofs/consistency": {"first": 1},
        "GET /climate/wall": {"celsius": "21", "rh": "55", "outside": "0"},
        "GET /proofs/head": {"book": book},
        "GET /photographs/alignment": dict(zip(("before", "after"), two_fronts(ledger, book), strict=True)),
    }
    return asked | {f"GET {path}": {"currency": "EUR"} for path in COUNTED}

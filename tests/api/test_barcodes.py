"""Barcodes over REST: looked up, read off a picture, remembered by a book, forgotten."""

from tests.api.door import Door, problem
from tests.barred import a_barcode, on_a_page

CODE = "614141000036-01411"


def test_a_code_is_remembered_looked_up_read_off_a_picture_and_forgotten(door: Door) -> None:
    book = door.a_book()
    assert door.get(f"/barcodes/{CODE}").json()["issue"] is None
    kept = door.client.put(f"/barcodes/{CODE}", json={"book": book})
    assert kept.status_code == 200, kept.text
    found = door.get(f"/barcodes/{CODE}").json()
    assert found == kept.json()
    assert (found["remembered"], found["issue"]["title"]) == (True, "The Copper Lantern")
    assert [each["id"] for each in found["books"]] == [book]
    assert found["proposal"] == {"number": "14", "cover": 1, "printing": 1, "month": None}
    photo = on_a_page(a_barcode("614141000036", "01411"))
    seen = door.post("/barcodes/picture", photo, Content_Type="image/jpeg")
    assert seen.json() == {"barcodes": [found]}
    assert door.client.delete(f"/barcodes/{CODE}").status_code == 204
    problem(door.client.delete(f"/barcodes/{CODE}"), 404)


def test_what_is_no_barcode_and_no_picture_and_no_book_is_refused(door: Door) -> None:
    assert "check digit" in problem(door.get("/barcodes/614141000037"), 400)["detail"]
    problem(door.post("/barcodes/picture", b"nothing", Content_Type="image/png"), 422)
    problem(door.client.put(f"/barcodes/{CODE}", json={"book": "b7q2m4x6n5k3j8h2g4f6d5s3a7"}), 404)

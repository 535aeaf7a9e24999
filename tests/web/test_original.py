"""The original of a photograph: its owner reads what it tells, and only then takes it; nobody else sees any of it."""

from ledger.ports import Ledger
from tests.hostile import CANARY, drawn, written
from tests.hostile.telling import telling_exif
from tests.pictures import a_picture
from tests.web.browser import Browser, Home, text_of
from tests.web.entry_forms import RAW, address, opened
from tests.web.typed import last
from tests.web.typed import written as recorded

PLACE = "59.32931, 18.06861"
"""Of 59° 19' 45.5" north, 18° 4' 7.0" east: degrees + minutes / 60 + seconds / 3600, worked out by hand."""


def telling() -> bytes:
    exif = telling_exif()
    exif[0x0110], exif[0x0131] = "Plum 3", "Firmware 7"
    return written(drawn(), "JPEG", exif=exif)


def photographed(ledger: Ledger, browser: Browser, data: bytes) -> int:
    book = recorded(ledger, *RAW)[0].book or ""
    form = opened(browser, address("photograph", book))
    assert browser.upload(form.action, form.fields, {"shots.0.file": ("front.jpg", data)}).status_code == 303
    return last(ledger).seq


def test_the_list_names_place_serial_number_person_camera_and_program(ledger: Ledger, signed_in: Browser) -> None:
    seq = photographed(ledger, signed_in, telling())
    told = text_of(signed_in.get(f"/ledger/{seq}/original"))
    said = CANARY.decode()
    for line in (
        f"Where it was taken {PLACE}",
        f"Serial number {said}",
        f"Name of a person {said}",
        f"Maker of the camera {said}",
        f"Words {said}",
        "Camera Plum 3",
        "Program Firmware 7",
    ):
        assert line in told


def test_the_original_is_given_byte_for_byte_only_once_the_list_was_confirmed(
    ledger: Ledger, signed_in: Browser
) -> None:
    seq = photographed(ledger, signed_in, telling())
    unread = signed_in.post(f"/ledger/{seq}/original", {})
    assert unread.status_code == 422
    assert "Tick that you have read the list." in text_of(unread)
    given = signed_in.post(f"/ledger/{seq}/original", {"read": "yes"})
    assert given.content == telling()
    assert given.headers["content-disposition"] == f'attachment; filename="original-{seq}"'
    assert given.headers["x-content-type-options"] == "nosniff"
    assert given.headers["content-type"] == "application/octet-stream"


def test_the_password_is_asked_for_again_before_it_is_given(ledger: Ledger, home: Home, signed_in: Browser) -> None:
    seq = photographed(ledger, signed_in, telling())
    home.clock.time = home.clock.time.replace(hour=home.clock.time.hour + 2)
    answer = signed_in.post(f"/ledger/{seq}/original", {"read": "yes"})
    assert answer.status_code == 303
    assert "/confirm" in answer.headers["location"]


def test_no_other_page_and_no_shown_copy_tells_any_of_it(ledger: Ledger, signed_in: Browser) -> None:
    seq = photographed(ledger, signed_in, telling())
    book, event = last(ledger).book, last(ledger).event
    pages = [f"/ledger/{seq}", f"/books/{book}", "/ledger", f"/pictures/{event.clean}?size=1200"]  # type: ignore[attr-defined]
    for each in pages:
        shown = signed_in.get(each)
        assert shown.status_code == 200
        assert CANARY not in shown.content
        assert PLACE.encode() not in shown.content
    assert signed_in.get(f"/pictures/{event.original}").status_code == 404  # type: ignore[attr-defined]


def test_a_file_that_tells_nothing_says_so_and_another_kind_has_no_original(ledger: Ledger, signed_in: Browser) -> None:
    seq = photographed(ledger, signed_in, a_picture())
    assert "It tells nothing beside its picture." in text_of(signed_in.get(f"/ledger/{seq}/original"))
    assert signed_in.get(f"/ledger/{seq - 1}/original").status_code == 404

"""The form for photographs: files with what each shows, one act, and a clear word for what is no picture."""

from typing import Any

from ledger.entry import Entry
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.sealed import Sealed
from tests.pictures import a_picture
from tests.web.browser import Browser, form_to, text_of
from tests.web.entry_forms import PATH, RAW, address, at, opened
from tests.web.markup import read_page
from tests.web.typed import last, size, written

Files = dict[str, tuple[str, bytes]]


def book_with_defects(ledger: Ledger) -> str:
    return written(ledger, *RAW)[0].book or ""


def uploaded(browser: Browser, book: str, files: Files, **fields: Any) -> Any:
    form = opened(browser, address("photograph", book))
    named = {name.replace("__", "."): value for name, value in fields.items()}
    return browser.upload(form.action, {**form.fields, **named}, files)


def pictures(ledger: Ledger, count: int) -> list[tuple[Entry, Photograph]]:
    end = size(ledger)
    with ledger.log.read() as reader:
        entries = [reader.entry(seq) for seq in range(end - count + 1, end + 1)]
    return [(entry, entry.event) for entry in entries if isinstance(entry.event, Photograph)]


def test_that_pictures_can_be_dropped_is_said_only_where_a_script_takes_them(
    ledger: Ledger, signed_in: Browser
) -> None:
    page = read_page(signed_in.get(address("photograph", book_with_defects(ledger))).text)
    (said,) = [each for each in page.walk() if "data-arrive-drop" in each.attrs]
    assert "hidden" in said.attrs


def test_a_photograph_is_kept_with_what_it_shows(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    answer = uploaded(
        signed_in,
        book,
        {"shots.0.file": ("P1040077.PNG", a_picture())},
        on="2024-03-20",
        scale_px_per_mm="33,9",
        shots__0__light="raking",
        shots__0__of_defect="d1",
        shots__0__caption="the ticks before the press",
    )
    assert answer.status_code == 303, text_of(answer)
    ((entry, event),) = pictures(ledger, 1)
    assert (entry.book, str(event.on), event.face.value, event.light.value) == (book, "2024-03-20", "front", "raking")
    assert (event.of_defect, event.scale_px_per_mm) == ("d1", "33.9")
    assert (event.width_px, event.height_px) == (24, 36)
    assert event.caption == Sealed.of("the ticks before the press")
    assert event.file_name == Sealed.of("P1040077.PNG")
    assert ledger.pictures.read(event.original) == a_picture()


def test_several_files_are_one_act_each_with_its_face(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    files = {
        "shots.0.file": ("front.png", a_picture("red")),
        "shots.1.file": ("back.png", a_picture("blue")),
        "shots.2.file": ("spine.png", a_picture("green")),
    }
    answer = uploaded(signed_in, book, files)
    assert answer.headers["location"] == f"/books/{book}"
    found = pictures(ledger, 3)
    assert [event.face.value for _, event in found] == ["front", "back", "spine"]
    assert len({entry.act for entry, _ in found}) == 1


def test_the_same_upload_sent_twice_makes_one_entry(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    form = opened(signed_in, address("photograph", book))
    before = size(ledger)
    for _ in range(2):
        answer = signed_in.upload(form.action, form.fields, {"shots.0.file": ("front.png", a_picture())})
        assert answer.status_code == 303
    assert size(ledger) == before + 1


def test_the_same_form_with_another_picture_is_not_taken_for_the_first(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    form = opened(signed_in, address("photograph", book))
    signed_in.upload(form.action, form.fields, {"shots.0.file": ("front.png", a_picture("red"))})
    before = size(ledger)
    answer = signed_in.upload(form.action, form.fields, {"shots.0.file": ("front.png", a_picture("blue"))})
    assert answer.status_code == 409
    assert size(ledger) == before
    assert form_to(answer, PATH).fields["key"] != form.fields["key"]


def test_a_file_that_is_no_picture_is_named_at_its_row(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    before = size(ledger)
    files = {"shots.0.file": ("front.png", a_picture()), "shots.1.file": ("notes.txt", b"no picture at all")}
    answer = uploaded(signed_in, book, files, shots__0__caption="before the press")
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert at(page, "shots.1.file-fault").text == (
        "notes.txt: it cannot be read as a picture. Give a JPEG, PNG, WebP or TIFF file that other programs can open."
    )
    assert at(page, "shots.0.caption").attrs["value"] == "before the press"
    assert "Files are not kept by a browser. Choose them again" in text_of(answer)
    assert size(ledger) == before


def test_no_file_at_all_is_asked_for(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    answer = uploaded(signed_in, book, {})
    assert answer.status_code == 422
    assert at(read_page(answer.text), "shots.0.file-fault").text == "No file was chosen. Choose at least one picture."


def test_a_rule_that_one_picture_breaks_is_told_at_its_row(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    before = last(ledger).seq
    files = {"shots.0.file": ("front.png", a_picture("red")), "shots.2.file": ("spine.png", a_picture("blue"))}
    answer = uploaded(signed_in, book, files, shots__2__of_defect="d9")
    assert answer.status_code == 409
    assert at(read_page(answer.text), "shots.2.of_defect-fault").text.startswith("No examination before has named")
    assert last(ledger).seq == before


def test_a_fault_in_what_is_said_keeps_the_file_from_being_taken(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    answer = uploaded(signed_in, book, {"shots.0.file": ("front.png", a_picture())}, on="soon")
    assert answer.status_code == 422
    assert "cannot be read as a date" in at(read_page(answer.text), "on-fault").text
    assert ledger.pictures.stored() == []


def test_a_defect_is_asked_for_only_where_one_was_seen(ledger: Ledger, signed_in: Browser) -> None:
    book = written(ledger, RAW[0])[0].book
    assert "shots.0.of_defect" not in opened(signed_in, address("photograph", book)).fields


def test_one_more_row_of_a_photograph_needs_no_script(ledger: Ledger, signed_in: Browser) -> None:
    book = book_with_defects(ledger)
    form = opened(signed_in, address("photograph", book))
    answer = signed_in.upload(form.action, {**form.fields, "do": "add:shots"}, {"x": ("", b"")})
    assert answer.status_code == 200
    assert "shots.4.face" in form_to(answer, PATH).fields

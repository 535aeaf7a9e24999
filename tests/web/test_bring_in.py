"""Bring in: a file chosen, its columns set right, its rows mended on the page or as a file, and then all of it or nothing."""

import re
from datetime import timedelta
from threading import Event, Thread

from httpx2 import Response

from ledger.importing.runs import Runs
from ledger.ports import Ledger
from ledger.spreadsheet_cells import read_sheet
from ledger.views import BookQuery
from tests.adapters.test_table_merges import merged_book
from tests.fakes import FakeClock
from tests.hostile.tables import HOSTILE
from tests.usecases.brought_in import TABLE, books, size
from tests.web.browser import Browser, Home, form_to, text_of
from tests.web.checks import buy
from tests.web.markup import read_page
from web.pages.bring_in import AT_ONCE, PATH

MANY = b"Title,No\n" + b"".join(b"Amber Anchor,%d\n" % number for number in range(1, AT_ONCE + 50))


def sent(browser: Browser, data: bytes = TABLE, name: str = "boxes.csv", **fields: str) -> str:
    """The address of the table that comes of a file."""
    answer = browser.upload(PATH, {"encoding": "", "mark": "", "sheet": "", **fields}, {"file": (name, data)})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def tried(browser: Browser, at: str, **fields: str) -> Response:
    """The page after every row was tried."""
    form = form_to(browser.get(at), f"{at}/columns")
    return browser.follow(browser.post(f"{at}/columns", {**form.fields, "currency": "USD", **fields}))


def test_the_purchase_page_and_the_collection_lead_here(signed_in: Browser) -> None:
    assert read_page(signed_in.get("/purchase").text).one("main").all("a", href=PATH)
    assert signed_in.get(PATH).status_code == 200


def test_a_file_is_read_shown_tried_mended_and_brought_in(signed_in: Browser, ledger: Ledger) -> None:
    at = sent(signed_in)
    page = signed_in.get(at)
    chosen = [each.one("option", selected="").text for each in read_page(page.text).all("select")[:5]]
    assert chosen == ["Series title", "Number", "Stated grade", "Price paid", "Bought on"]
    assert "VF/NM (9.0)" in text_of(page)
    assert "Read as text in utf-8, cells set apart by commas." in text_of(page)
    before = size(ledger)

    page = tried(signed_in, at)
    assert "2 books would come in." in text_of(page)
    assert "2 rows have a problem" in text_of(page)
    assert size(ledger) == before

    form = form_to(page, f"{at}/rows")
    assert set(form.fields) >= {"row.3.grade", "row.5.price"}
    mends = {**form.fields, "row.3.grade": "9.0", "row.5.price": "7"}
    page = signed_in.follow(signed_in.post(f"{at}/rows", mends))
    assert "2 rows are in order now." in text_of(page)
    assert "Bring in 4 books" in text_of(page)

    page = signed_in.follow(signed_in.post(f"{at}/go", form_to(page, f"{at}/go").fields))
    assert "4 books were brought in." in text_of(page)
    assert len(books(ledger)) == 4


def test_a_column_is_set_right_by_hand(signed_in: Browser, ledger: Ledger) -> None:
    at = sent(signed_in, b"Comic,No,Guess\nAmber Anchor,14,3 Apr 1998\n")

    page = tried(signed_in, at, **{"column.2": "note", "source": "My boxes"})

    assert "One book would come in." in text_of(page)
    again = read_page(page.text)
    assert again.one("input", name="source").attrs["value"] == "My boxes"
    assert again.one("select", name="column.2").one("option", selected="").attrs["value"] == "note"


def test_columns_that_cannot_be_so_come_back_with_the_mend(signed_in: Browser) -> None:
    at = sent(signed_in)
    form = form_to(signed_in.get(at), f"{at}/columns")

    page = signed_in.post(f"{at}/columns", {**form.fields, "column.0": ""})

    assert page.status_code == 422
    assert "No column is read as Series title." in text_of(page)


def test_rows_with_problems_go_out_as_a_file_and_come_back(signed_in: Browser) -> None:
    at = sent(signed_in)
    tried(signed_in, at)
    file = signed_in.get(f"{at}/to-fix.csv")
    assert file.headers["content-disposition"] == 'attachment; filename="rows-to-mend.csv"'
    lines = read_sheet(file.content.decode("utf-8-sig"))
    lines[1][4], lines[2][5] = "9.0", "7"
    back = "\n".join(";".join(f'"{cell}"' for cell in line) for line in lines)

    page = signed_in.follow(signed_in.upload(f"{at}/fixed", {}, {"file": ("mended.csv", back.encode())}))

    assert "2 rows are in order now." in text_of(page)
    assert "Bring in 4 books" in text_of(page)
    wrong = signed_in.upload(f"{at}/fixed", {}, {"file": ("mended.csv", b"a,b\n")})
    assert wrong.status_code == 422
    assert "Row in the file" in text_of(wrong)


def test_a_row_is_left_out_by_a_tick(signed_in: Browser, ledger: Ledger) -> None:
    at = sent(signed_in)
    form = form_to(tried(signed_in, at), f"{at}/rows")

    page = signed_in.follow(signed_in.post(f"{at}/rows", {**form.fields, "left": ["3", "5"]}))

    assert "2 rows are left out." in text_of(page)
    assert "Bring in 2 books" in text_of(page)


def test_a_row_that_is_likely_here_is_asked_about(signed_in: Browser, ledger: Ledger) -> None:
    buy(ledger)
    with ledger.log.read() as reader:
        here = reader.books(BookQuery()).rows[0]
    at = sent(signed_in, f"Title,No,Bought\n{here.title},{here.number},{here.since}\nC D,2,1999\n".encode())

    page = tried(signed_in, at)

    assert "One row is likely here already" in text_of(page)
    assert signed_in.post(f"{at}/go").status_code == 409
    page = signed_in.follow(signed_in.post(f"{at}/doubles", {"double.2": "left"}))
    assert "The decisions are kept." in text_of(page)
    assert "Bring in one book" in text_of(page)


def test_a_second_time_adds_nothing(signed_in: Browser, ledger: Ledger) -> None:
    table = b"Title,No\nA B,1\nC D,2\n"
    for _ in range(2):
        at = sent(signed_in, table)
        page = tried(signed_in, at)
        if not books(ledger):
            signed_in.post(f"{at}/go")

    assert "2 books were brought in before and are passed over." in text_of(page)
    assert "Nothing new is in it." in text_of(page)
    assert len(books(ledger)) == 2


def test_many_rows_go_on_behind_the_page(home: Home, signed_in: Browser, ledger: Ledger) -> None:
    at = sent(signed_in, MANY)
    works = home.app.state.works
    tried(signed_in, at)
    works.wait()
    assert f"{AT_ONCE + 49} books would come in." in text_of(signed_in.get(at))

    signed_in.post(f"{at}/go")
    works.wait()

    assert f"{AT_ONCE + 49} books were brought in." in text_of(signed_in.get(at))
    with ledger.log.read() as reader:
        assert reader.head().books == AT_ONCE + 49


def test_how_far_it_is_can_be_asked_for_and_it_can_be_called_off(signed_in: Browser, ledger: Ledger) -> None:
    at = sent(signed_in)
    assert ledger.tables is not None
    with ledger.tables.runs.going(at.rpartition("/")[2]) as run:
        Runs.tell(run, 2, 8)
        page = signed_in.get(at)
        assert "1 of 5 rows" in text_of(page)
        part = signed_in.get(at, **{"X-Slipsheet-Part": "progress"})
        assert "data-working" in part.text
        assert "<main" not in part.text
        told = signed_in.follow(signed_in.post(f"{at}/call-off"))
        assert run.called_off
        assert "It is called off" in text_of(told)


def test_an_attack_is_refused_in_words_and_nothing_waits(signed_in: Browser) -> None:
    made, says = HOSTILE["an archive that grows a thousandfold"]

    page = signed_in.upload(PATH, {"encoding": "", "mark": "", "sheet": ""}, {"file": ("x.xlsx", made())})

    assert page.status_code == 422
    assert says in text_of(page)
    assert not re.findall(r'href="/bring-in/', signed_in.get(PATH).text)


def test_no_file_and_a_wrong_encoding_are_told(signed_in: Browser) -> None:
    assert "Choose a file first." in text_of(signed_in.post(PATH, {"encoding": ""}))
    page = signed_in.upload(PATH, {"encoding": "nonsense"}, {"file": ("x.csv", b"Title,No\n")})
    assert page.status_code == 422


def test_what_a_cell_holds_is_shown_as_text(signed_in: Browser) -> None:
    at = sent(signed_in, b'Title,No,Grade\n"<script>alert(1)</script>",1,"<b>x</b>"\n', name="<i>x</i>.csv")

    page = tried(signed_in, at)

    assert "<script>alert" not in page.text
    assert "<b>x" not in page.text
    assert "<i>x" not in page.text


def test_a_table_is_put_away(signed_in: Browser) -> None:
    at = sent(signed_in)

    page = signed_in.follow(signed_in.post(f"{at}/put-away"))

    assert "The table was put away." in text_of(page)
    assert signed_in.get(at).status_code == 404


def test_a_problem_list_is_paged(signed_in: Browser) -> None:
    rows = b"".join(b"Amber Anchor,%d,lovely\n" % number for number in range(60))
    at = sent(signed_in, b"Title,No,Grade\n" + rows)
    page = tried(signed_in, at)
    assert "60 rows have a problem" in text_of(page)
    assert len(read_page(page.text).all("fieldset")) == 25

    page = signed_in.get(f"{at}?after=26")

    assert "Row 27: Amber Anchor 25" in text_of(page)


def test_while_many_rows_are_written_the_page_and_the_way_to_call_it_off_need_no_writer(
    home: Home, signed_in: Browser, ledger: Ledger, clock: FakeClock
) -> None:
    at = sent(signed_in, MANY)
    tried(signed_in, at)
    works = home.app.state.works
    works.wait()
    clock.time += timedelta(minutes=50)
    begun, go_on = Event(), Event()

    def held(_: object) -> None:
        begun.set()
        go_on.wait()

    signed_in.post(f"{at}/go")
    works.wait()
    waiting = Thread(target=lambda: ledger.log.write(held))
    waiting.start()
    begun.wait()
    try:
        clock.time += timedelta(minutes=50)
        assert signed_in.get(at).status_code == 200
    finally:
        go_on.set()
        waiting.join()


def test_words_that_say_more_than_is_held_are_told_and_stand_in_the_note(signed_in: Browser, ledger: Ledger) -> None:
    at = sent(signed_in, b"Title,No,Bought\nAmber Anchor,1,1998\nCopper Comet,2,c. 1998\nHarbor Lamp,3,Spring 1998\n")

    page = tried(signed_in, at)
    assert "\u201cc. 1998\u201d is read as between 1997 and 1999." in text_of(page)

    signed_in.follow(signed_in.post(f"{at}/go", {}))
    with ledger.log.read() as reader:
        copper = next(row.book for row in reader.books(BookQuery(limit=9)).rows if row.title == "Copper Comet")
    assert "Bought on, as written: c. 1998" in text_of(signed_in.get(f"/books/{copper}"))


def test_nothing_is_told_of_words_where_all_is_held(signed_in: Browser) -> None:
    assert "can be held exactly" not in text_of(tried(signed_in, sent(signed_in, b"Title,No,Bought\nAmber,1,1998\n")))


def test_an_amount_over_several_rows_stays_a_problem_until_it_is_written_anew(signed_in: Browser) -> None:
    data = merged_book([["Title", "No", "Price"], ["Amber", 1, 30], [None, 2, None]], "A2:A3", "C2:C3")
    at = sent(signed_in, data, "boxes.xlsx")
    page = tried(signed_in, at)
    assert "30 stands in one cell for several rows" in text_of(page)

    form = form_to(page, f"{at}/rows")
    page = signed_in.follow(signed_in.post(f"{at}/rows", form.fields))
    assert "2 rows have a problem" in text_of(page)

    page = signed_in.follow(signed_in.post(f"{at}/rows", {**form.fields, "row.2.price": "20", "row.3.price": "10"}))
    assert "2 rows are in order now." in text_of(page)


def test_a_list_that_has_grown_brings_in_what_is_new_with_one_press(signed_in: Browser) -> None:
    rows = b"Title,No,Paid\nAmber Anchor,1,3 USD\nAmber Anchor,2,4 USD\n"
    at = sent(signed_in, rows)
    tried(signed_in, at)
    signed_in.post(f"{at}/go", {})
    at = sent(signed_in, rows + b"Amber Anchor,3,5 USD\n")

    page = tried(signed_in, at)
    form = read_page(page.text).one("form", action=f"{at}/doubles")
    assert form.text.count("Amber Anchor 1") == 2
    first = form.all("button")[0]
    assert first.text == "Leave all of them out"
    page = signed_in.follow(signed_in.post(f"{at}/doubles", {first.attrs["name"]: first.attrs["value"]}))

    assert "One book would come in." in text_of(page)

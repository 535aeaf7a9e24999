"""What a look says beyond defects, on the condition page: claims, faces, lines, macro photographs, small steps, marks asked for."""

from typing import Any

import pytest

from ledger.events._parts import Answer, Face, Mark, OpinionOf, Region
from ledger.events.photograph import Photograph
from ledger.rules.grades import Grade
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, on
from tests.web.browser import Browser
from tests.web.markup import Element
from tests.web.stories import Shelf
from tests.web.test_condition import SIZE, a_bend, facts, found

CLEAN = "ab" * 32
ASKED = "At least three marks of this copy are asked for"


def a_claim(name: str, by: OpinionOf = OpinionOf.SELLER, **more: Any) -> Any:
    return a_defect(name, "tear", size_mm=None, claimed_by=by, **{"face": Face.BACK, **more})


def rows(page: Element) -> dict[str, list[str]]:
    """The cells behind each id of the first table, which is that of the defects."""
    first, *_ = page.all("tbody")
    return {each.one("th").text: [cell.text for cell in each.all("td")] for each in first.all("tr")}


def claims(page: Element) -> list[list[str]]:
    """The rows of the table that stands under the claims."""
    parts = [each for each in page.walk() if each.tag in {"h3", "table"}]
    place = next(at for at, each in enumerate(parts) if each.text == "Claimed by others, not seen here")
    return [
        [cell.text for cell in row.walk() if cell.tag in {"th", "td"}]
        for row in parts[place + 1].one("tbody").all("tr")
    ]


def test_what_others_claim_stands_apart_and_is_not_counted(signed_in: Browser, shelf: Shelf) -> None:
    first = an_examination(
        "2024-03-01",
        defects=(
            a_bend("d1"),
            a_claim("d2", note="said to be closed"),
            a_claim("d3", OpinionOf.SERVICE, face=Face.SPINE),
            a_claim("d4", OpinionOf.EARLIER_OWNER),
        ),
    )
    book = shelf.takes(a_purchase(), first)
    page = found(signed_in, book)
    seq = shelf.seqs(book)[1]
    assert list(rows(page)) == ["d1"]
    assert claims(page) == [
        ["d2", "Tear said to be closed", "back", "claimed by the seller, not seen here", f"entry {seq}"],
        ["d3", "Tear", "spine", "claimed by the grading service, not seen here", f"entry {seq}"],
        ["d4", "Tear", "back", "claimed by an earlier owner, not seen here", f"entry {seq}"],
    ]
    shelf.then(book, an_examination("2024-04-01", faces_looked_at=(Face.BACK,), defects=(a_bend("d1"),)))
    page = found(signed_in, book)
    second = shelf.seqs(book)[2]
    over = f"not seen here, though its face was looked at (entry {second})"
    assert [each[3].partition(", ")[2] for each in claims(page)] == [over, "not seen here", over]
    assert "One is as it was." in page.text
    assert "new" not in {cells[4] for cells in rows(page).values()}


def test_a_claim_that_is_seen_is_told_as_that(signed_in: Browser, shelf: Shelf) -> None:
    looks = [
        an_examination("2024-03-01", defects=(a_claim("d1"),)),
        an_examination("2024-04-01", defects=(a_defect("d1", "tear", face=Face.BACK, size_mm="6"),)),
    ]
    page = found(signed_in, shelf.takes(a_purchase(), *looks))
    assert rows(page)["d1"][4] == "seen as claimed"
    assert "One is seen as it was claimed." in page.text
    assert "Claimed by others" not in page.text


def test_a_look_says_which_faces_it_went_over(signed_in: Browser, shelf: Shelf) -> None:
    looks = [
        an_examination("2024-03-01", defects=(a_bend("d1"), a_bend("d2", face=Face.BACK), a_bend("d3"))),
        an_examination(
            "2024-04-01", faces_looked_at=(Face.FRONT, Face.SPINE), defects=(a_bend("d3", None, gone=True),)
        ),
        an_examination("2024-05-01", faces_looked_at=(Face.FRONT,)),
    ]
    book = shelf.takes(a_purchase(), *looks)
    page = found(signed_in, book, f"?look={shelf.seqs(book)[2]}")
    assert {name: cells[4] for name, cells in rows(page).items()} == {
        "d1": "as before, not mentioned",
        "d2": "not looked at",
        "d3": "gone",
    }
    told = "One is gone. One is on a face that was looked at and was not mentioned. One was not looked at."
    assert told in page.text
    assert facts(page)["Faces looked at"] == "front, spine"
    last = found(signed_in, book)
    assert rows(last)["d3"][4] == "gone at an earlier look"
    assert "One is on a face that was looked at and was not mentioned. One was not looked at." in last.text
    first = found(signed_in, book, f"?look={shelf.seqs(book)[1]}")
    assert facts(first)["Faces looked at"] == "not said"


def test_a_line_a_note_and_a_macro_photograph_stand_beside_a_defect_and_a_mark(
    signed_in: Browser, shelf: Shelf
) -> None:
    line = Region(x_mm="10", y_mm="20", to_x_mm="13", to_y_mm="24")
    mark = Mark(id="m1", what="Blue fibre", face=Face.BACK, region=line, photograph=CLEAN)
    look = an_examination(
        "2024-03-01", defects=(a_bend("d1", region=line, note="runs out", photograph=CLEAN),), marks=(mark,)
    )
    shot = Photograph(on=on("2024-02-20"), original="cd" * 32, clean=CLEAN)
    book = shelf.takes(a_purchase(), shot, look)
    page = found(signed_in, book)
    seq = shelf.seqs(book)[1]
    cells = rows(page)["d1"]
    assert cells[0] == f"Bend or finger dent runs out photograph, entry {seq}"
    assert cells[1] == "front a line of 5.0 mm, from 10 and 20 mm to 13 and 24 mm"
    _, marks = page.all("tbody")
    assert [cell.text for cell in marks.one("tr").all("td")][:2] == [
        f"Blue fibre photograph, entry {seq}",
        "back a line of 5.0 mm, from 10 and 20 mm to 13 and 24 mm",
    ]
    assert len(page.all("a", href=f"/ledger/{seq}")) == 2


def test_technical_grade_staples_and_the_rest_by_the_dates_stand_among_the_facts(
    signed_in: Browser, shelf: Shelf
) -> None:
    said = {"technical": Grade("8.5"), "staples_counted": 2, "staple_rust": Answer.NO}
    look = an_examination("2024-03-20", presents_as=Grade("9.0"), **said)
    page = found(signed_in, shelf.takes(a_purchase(), an_intervention("cold-press", "2024-03-10"), look))
    told = facts(page)
    assert (told["Presents as"], told["Technical grade"]) == ("9.0", "8.5")
    assert (told["Staples"], told["Rust on staples"]) == ("2", "no")
    assert told["Rest before"] == "240 hours, read from the dates"
    assert "This look counts for what the work came to" in page.text


def test_small_steps_that_add_up_ask_a_question(signed_in: Browser, shelf: Shelf) -> None:
    looks = [
        an_examination(day, width_mm="180", height_mm=high, defects=(a_bend("d1", size),))
        for day, high, size in (
            ("2024-03-01", "260", "12"),
            ("2024-04-01", "260.5", "12.5"),
            ("2024-05-01", "261", "13"),
        )
    ]
    book = shelf.takes(a_purchase(), *looks)
    first, second = shelf.seqs(book)[1:3]
    page = found(signed_in, book)
    asked = f"Its height differs by a millimetre or more in all from its first measure, 260 mm at entry {first}."
    assert asked in page.text
    assert facts(page)["Height"] == f"261 mm; 260.5 mm at entry {second}; 260 mm the first time, at entry {first}"
    assert rows(page)["d1"][4] == "worse, in small steps"
    before = found(signed_in, book, f"?look={second}")
    assert "differs by a millimetre" not in before.text
    assert facts(before)["Height"] == f"260.5 mm; 260 mm at entry {first}"


@pytest.mark.parametrize(
    ("known", "words"), [(0, "None is known yet."), (1, "One is known."), (2, "2 are known."), (3, None)]
)
def test_three_marks_are_asked_for_and_none_is_refused_for_want_of_them(
    signed_in: Browser, shelf: Shelf, known: int, words: str | None
) -> None:
    marks = tuple(Mark(id=f"m{at}", what=f"Fibre {at}", face=Face.BACK) for at in range(known))
    book = shelf.takes(a_purchase(), an_examination("2024-03-01", **SIZE, marks=marks))
    text = found(signed_in, book).text
    assert (ASKED in text) is (words is not None)
    assert words is None or words in text


def test_marks_are_asked_for_at_the_last_look_only(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), an_examination("2024-03-01"), an_examination("2024-04-01"))
    assert ASKED in found(signed_in, book).text
    assert ASKED not in found(signed_in, book, f"?look={shelf.seqs(book)[1]}").text

"""The statement of a record in its three states: done here, not done here, not known before; each step with its facts."""

from typing import Any

import pytest

from ledger.events._step import Ended, MaterialUsed
from ledger.events.purchase import EarlierWork, Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Gone
from ledger.proof.sheet import Words
from ledger.rules.headings import Fact, Heading
from ledger.rules.techniques import technique
from ledger.sealed import Sealed
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, on, worked_on
from tests.saying.saying import lines_of, section, sheet_of, text_of, works_of


def test_the_one_sentence_on_top_has_three_parts() -> None:
    sheet = sheet_of(
        a_purchase(earlier_work=EarlierWork.DENIED),
        an_intervention("dry-cleaning"),
        an_intervention("dry-cleaning", "2024-03-11"),
        an_intervention("tear-sealing", "2024-03-12"),
    )
    assert sheet.title == "Captain Lantern 14"
    assert sheet.lead == (
        "Done here since 1 February 2024: 2 non-additive steps, one step of conservation. "
        "Not done here in that time: restoration. "
        "What was done to the book before it came here is not known; whoever handed it on said that none had been done."
    )


def test_where_nothing_was_done_it_says_so_of_the_time_here_and_of_no_other() -> None:
    sheet = sheet_of(a_purchase())
    assert sheet.lead == (
        "Here since 1 February 2024 no work was entered: no non-additive work, conservation or restoration. "
        "What was done to the book before it came here is not known; nothing was said of it when it came."
    )
    assert works_of(section(sheet, "statement")) == {}


def test_a_book_of_the_past_is_told_with_both_ends_of_its_time() -> None:
    sheet = sheet_of(a_purchase("199X"), Sale(on=on("2024-05"), disclosed=Disclosed.NOTHING))
    assert "from some time in the 1990s to May 2024" in sheet.lead


def test_an_unknown_day_is_told_as_that_with_the_day_of_the_first_entry() -> None:
    assert "since a day that is not known; the first entry is of 1 January 2025" in sheet_of(a_purchase(None)).lead


def test_every_step_stands_under_its_heading_the_highest_last_and_those_that_changed_nothing_too() -> None:
    said = section(
        sheet_of(
            a_purchase(),
            an_intervention("colour-touch", "2024-03-01"),
            an_intervention("cold-press", "2024-03-02", changed_anything=False),
            an_intervention("tear-sealing", "2024-03-03"),
        ),
        "statement",
    )
    works = works_of(said)
    assert list(works) == ["non-additive", "conservation", "restoration"]
    assert "It changed nothing." in works["non-additive"][0]
    assert "2 March 2024 (entry 3)" in works["non-additive"][0]
    assert "There is no heading under which nothing was done here." in lines_of(said)


@pytest.mark.parametrize("name", ["dry-cleaning", "hot-press-dry", "tear-sealing", "colour-touch", "signature"])
def test_a_step_tells_its_facts_as_its_row_has_them(name: str) -> None:
    row = technique(name)
    text = text_of(section(sheet_of(a_purchase(), an_intervention(name)), "statement"))
    words = {Fact.YES: "yes", Fact.NO: "no", Fact.NOT_KNOWN: "not known"}
    facts = [words[each] for each in (row.adds, row.removes_original, row.alters)]
    assert row.title in text
    assert row.sentence in text
    adds, removes, alters = facts
    assert f"adds material, {adds}; removes original material, {removes}; alters chemistry or colour, {alters}." in text


def test_a_row_s_sentence_is_left_out_where_the_step_has_other_facts() -> None:
    step = an_intervention("dry-cleaning", adds_material=Fact.YES)
    said = text_of(section(sheet_of(a_purchase(), step), "statement"))
    assert "nothing was added" not in said
    assert "adds material, yes" in said


def test_a_step_that_is_not_settled_is_under_no_settled_heading_and_what_is_not_done_hangs_on_it() -> None:
    sheet = sheet_of(a_purchase(), an_intervention("dry-cleaning", alters=Fact.NOT_KNOWN))
    said = section(sheet, "statement")
    assert list(works_of(said)) == ["heading not settled"]
    assert "conservation or restoration (unless the one step that is not settled was it)" in text_of(said)
    assert "Restoration may hide behind it." in text_of(said)
    assert "one step whose heading is not settled" in sheet.lead


def test_a_signature_stands_apart_and_is_no_restoration() -> None:
    sheet = sheet_of(a_purchase(), an_intervention("signature"))
    said = section(sheet, "statement")
    assert works_of(said) == {}
    assert "one signature or dedication added by hand" in sheet.lead
    assert "Not done here in that time: non-additive work, conservation or restoration." in sheet.lead
    (apart,) = [each for each in said.blocks if isinstance(each, Words) and "ink that is writing" in each.lines[0]]
    assert "told apart from colour touch" in apart.lines[0]


def test_the_owner_s_disagreement_stands_beside_the_heading_and_does_not_replace_it() -> None:
    words = Sealed.of("The tissue comes off with water.")
    step = an_intervention("tear-sealing", owner_heading=Heading.NON_ADDITIVE, owner_words=words)
    line, _ = works_of(section(sheet_of(a_purchase(), step), "statement"))["conservation"]
    assert (
        "By its facts it is conservation; the owner holds non-additive to be right, in these words: "
        "“The tissue comes off with water.”"
    ) in line
    shut, _ = works_of(section(sheet_of(a_purchase(), step, opened=()), "statement"))["conservation"]
    assert "in these words: not opened here." in shut


def test_who_did_it_is_named_as_far_as_it_was_opened() -> None:
    step = an_intervention(by_other_hands=True, who=Sealed.of("Q. Mender"), remark=Sealed.of("Twice."))
    text = text_of(section(sheet_of(a_purchase(), step), "statement"))
    assert "Done by other hands; name: “Q. Mender”." in text
    assert "Remark: “Twice.”" in text
    shut = text_of(section(sheet_of(a_purchase(), step, opened=[(2, "remark")]), "statement"))
    assert "name: not opened here." in shut
    assert "Mender" not in shut
    empty = text_of(section(sheet_of(a_purchase(), an_intervention()), "statement"))
    assert "Done by the owner's side; name: not entered." in empty


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (EarlierWork.STATED, "It was stated then that work had been done."),
        (EarlierWork.DENIED, "It was said then that no work had been done, which nobody here can check."),
        (EarlierWork.NOTHING_SAID, "Nothing was said of it then."),
    ],
)
def test_what_the_seller_stated_is_told_as_that(said: EarlierWork, words: str) -> None:
    bought = a_purchase(earlier_work=said, earlier_work_words=Sealed.of("Cleaned in '81."))
    text = text_of(section(sheet_of(bought), "statement"))
    assert f"before 1 February 2024, when it came (bought, entry 1). {words}" in text
    assert "came with the book (entry 1): “Cleaned in '81.”" in text


def test_times_away_are_not_known_and_every_coming_in_is_told() -> None:
    back = a_purchase("2024-09", means=Means.TRADE)
    sheet = sheet_of(a_purchase(), Sale(on=on("2024-03"), disclosed=Disclosed.NOTHING), back)
    text = text_of(section(sheet, "statement"))
    assert "Since March 2024 and until September 2024 the book was not in this collection." in text
    assert "(bought, entry 1)" in text
    assert "(trade, entry 3)" in text


def test_of_a_book_that_came_back_the_time_it_was_gone_is_not_known_and_the_seller_s_word_still_stands() -> None:
    first = a_purchase(earlier_work=EarlierWork.STATED)
    gone = Sale(on=on("2024-03"), means=Gone.STOLEN, disclosed=Disclosed.NOT_APPLICABLE)
    sheet = sheet_of(first, gone, a_purchase("2024-09", means=Means.CAME_BACK))
    text = text_of(section(sheet, "statement"))
    assert "What was done while the book was gone, until it came back September 2024 (entry 3)." in text
    assert text.count("It was stated then that work had been done.") == 1
    assert "whoever handed it on stated that work had been done" in sheet.lead


def test_a_book_that_was_entered_long_after_it_came_is_told_from_memory() -> None:
    text = text_of(section(sheet_of(a_purchase("1987-05-04")), "statement"))
    assert "It came 4 May 1987 and was first entered on 1 January 2025." in text
    assert "from memory" in text
    assert "from memory" not in text_of(sheet_of(a_purchase("2024-12-20")))


def test_where_a_step_was_done_and_with_what_is_told() -> None:
    look = an_examination(defects=(a_defect("d1"),))
    done: dict[str, Any] = {
        "worked_defects": worked_on("d1 gone"),
        "materials": (MaterialUsed(what="soft brush", batch="7B"),),
        "tool": "a bone folder",
        "ended": Ended.CUT_OFF,
    }
    text = text_of(section(sheet_of(a_purchase(), look, an_intervention(**done)), "statement"))
    assert "Worked on: d1." in text
    assert "With: soft brush (batch 7B), a bone folder." in text
    assert "Said right after the step: d1 gone. That is a claim; the look after a rest decides." in text
    assert "It was cut off before its end." in text


def test_views_that_differ_are_said_to_differ_with_their_source() -> None:
    row = technique("hot-press-dry")
    text = text_of(section(sheet_of(a_purchase(), an_intervention("hot-press-dry")), "views"))
    for words in (row.aim, row.trade_view, row.where_views_differ, row.side_effects, *row.sources):
        assert words in text
    assert not [each for each in sheet_of(a_purchase()).sections if each.id == "views"]


def test_a_technique_that_no_row_tells_of_is_told_by_its_name() -> None:
    sheet = sheet_of(a_purchase(), an_intervention("moon-bath"))
    assert "Of these techniques this program knows no row: moon-bath." in text_of(section(sheet, "views"))
    assert "heading not settled" in works_of(section(sheet, "statement"))

"""Every way to tamper with a record, in every form that shows it, is named by its sentence; none of them crashes."""

import pytest

from ledger.proof.report import Evidence
from tests.proof.making import OWNER, a_cosignature
from tests.proof.recording import Given
from tests.proof.second import verdict
from tests.proof.tamper_table import EARLIER, KINDS, cosigned_elsewhere
from tests.proof.tampering import FORMS, GOOD, TWICE, Tampering, checked, note

ROWS = [*KINDS, *EARLIER]
TRIED = [
    pytest.param(row, form, id=f"{row.number} {row.what}, {form}")
    for row in ROWS
    for form in FORMS
    if form != "record.json" or not row.beside
]
NEEDS_AN_OLDER_CHECKPOINT = {5, 11, 19, 27}


@pytest.mark.parametrize(("row", "form"), TRIED)
def test_a_tampering_is_named_in_every_form_that_shows_it(row: Tampering, form: str) -> None:
    given = FORMS[form](row.change(row.start))
    found = checked(given, row.held)
    assert not found.whole
    sentences = [each.sentence for each in found.report.findings if each.code == row.code]
    assert any(row.sentence in each for each in sentences), found.report.findings


@pytest.mark.parametrize("row", [each for each in ROWS if each.held], ids=lambda row: f"{row.number} {row.what}")
def test_what_needs_an_older_checkpoint_is_not_seen_without_one_and_is_told_as_such(row: Tampering) -> None:
    assert row.number in NEEDS_AN_OLDER_CHECKPOINT
    for form in FORMS.values():
        given = form(row.change(row.start))
        assert checked(given).whole
        assert verdict(given, [OWNER.verifier.vkey]) == "whole"
        (finding,) = checked(given, row.held).report.findings
        assert finding.evidence is Evidence.ANCHOR


def test_every_kind_that_can_touch_a_record_is_tried() -> None:
    numbers = {row.number for row in ROWS}
    assert numbers >= {*range(1, 24), 25, 27}
    assert numbers >= NEEDS_AN_OLDER_CHECKPOINT


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("given", [GOOD, TWICE], ids=["one owner", "two owners"])
def test_what_was_not_tampered_with_is_whole_in_every_form(form: str, given: Given) -> None:
    made = FORMS[form](given)
    assert checked(made).whole
    assert not checked(made, key=False).whole
    assert verdict(made, [OWNER.verifier.vkey]) == "whole"
    assert verdict(made) == "consistent"


def test_a_cosignature_of_another_log_is_refused_where_its_key_is_at_hand_and_else_proves_nothing() -> None:
    _, witness = a_cosignature(GOOD.file.proof.checkpoint, "example.org/witness", 1767225600)
    given = note(cosigned_elsewhere)(GOOD)
    assert verdict(given.data, [OWNER.verifier.vkey]) == "whole"
    assert verdict(given.data, [OWNER.verifier.vkey, witness.vkey]) == "not good"

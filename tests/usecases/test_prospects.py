"""Prospects: kept with their pictures, weighed, passed up, taken back, bought with the outlook first, forgotten in part."""

from pathlib import Path
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.book import Status
from ledger.bootstrap import open_ledger
from ledger.errors import ConflictError, ForbiddenError, InvalidError, NotFoundError
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.outlook import Origin, Outlook, OutlookStage, Weight
from ledger.events.purchase import Purchase
from ledger.keeping.backup import pictures_of
from ledger.market import Came, KeptSale, MarketWriter, Prospect, Verdict
from ledger.ports import Ledger
from ledger.proof.forms import check_file
from ledger.prospects import ProspectSaid, told_of, without
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases import prospects as work
from ledger.usecases.browse import small_picture
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.forget import forget_prospects
from ledger.usecases.hand_on import Form, given, made_record
from ledger.usecases.look import look_at
from ledger.usecases.prospect_writes import add_pictures, market_of, take_picture
from ledger.usecases.prove import book_proof
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.verify import verify_ledger
from tests.builders import a_defect, a_purchase, a_stated_grade, an_issue, on, usd
from tests.check import check_ledger
from tests.fakes import FakeClock
from tests.usecases.houses import House
from tests.usecases.telling import OWNER, Teller

CANARY = "Ottoline Quillfeather"
WEIGHTS = (Weight(grade=Grade("8.0"), per_mille=300), Weight(grade=Grade("7.5"), per_mille=700))


def said(**changes: Any) -> ProspectSaid:
    plain = {"issue": an_issue(), "asking": usd("120.00"), "seller": CANARY, "stated": a_stated_grade("VF", "8.0")}
    return ProspectSaid(**{**plain, **changes})


def kept(ledger: Ledger, **changes: Any) -> Prospect:
    return work.keep_prospect(ledger, OWNER, said(**changes))


def now_of(ledger: Ledger, prospect: Prospect) -> Prospect:
    return work.look_at_prospect(ledger, OWNER, prospect.id).prospect


def bought(ledger: Ledger, prospect: Prospect, **changes: Any) -> str:
    plain = {"seller": Sealed.of(CANARY), "price": Sealed.of(usd("110.00"))}
    purchase = a_purchase(ledger.clock.today().isoformat(), **{**plain, **changes})
    return str(work.buy(ledger, OWNER, prospect.id, purchase).entries[0].book)


def test_a_prospect_is_kept_changed_and_taken_away(teller: Teller) -> None:
    first, second = kept(teller.ledger), kept(teller.ledger, seller="", defects=(a_defect(),))
    assert [each.id for each in work.look_at_prospects(teller.ledger, OWNER)] == [second.id, first.id]
    work.change_prospect(teller.ledger, OWNER, first.id, said(asking=usd("99.00"), note="Bent corner."))
    changed = now_of(teller.ledger, first)
    assert (changed.asking, changed.note, changed.made) == (usd("99.00"), "Bent corner.", first.made)
    assert told_of(changed) == said(asking=usd("99.00"), note="Bent corner.")
    work.take_away(teller.ledger, OWNER, first.id)
    with pytest.raises(NotFoundError):
        now_of(teller.ledger, first)


def test_what_is_wrong_with_it_is_told_at_its_field(teller: Teller) -> None:
    twice = (a_defect("d1"), a_defect("d1"))
    with pytest.raises(InvalidError) as caught:
        kept(teller.ledger, asking=usd("-1.00"), seller="x" * 401, defects=twice)
    assert [each.field for each in caught.value.problems] == ["asking", "seller", "defects.1.id"]
    found = kept(teller.ledger)
    with pytest.raises(InvalidError) as caught:
        work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS[:1])
    assert [each.rule for each in caught.value.problems] == ["outlook.1"]


def test_who_may_only_read_keeps_none(teller: Teller) -> None:
    reader = Actor(id="reader", scopes={Permission.READ})
    with pytest.raises(ForbiddenError):
        work.keep_prospect(teller.ledger, reader, said())
    assert work.look_at_prospects(teller.ledger, reader) == ()


def test_its_pictures_are_shown_and_backed_up_and_no_others(teller: Teller) -> None:
    found = work.keep_prospect(teller.ledger, OWNER, said(), [b"front", b"back", b"front"])
    assert len(found.pictures) == 2
    assert small_picture(teller.ledger, OWNER, found.pictures[0], 160) == b"front"
    assert set(pictures_of(teller.ledger)) == set(found.pictures)
    more = add_pictures(teller.ledger, OWNER, found.id, [b"spine"])
    assert len(more.pictures) == 3
    take_picture(teller.ledger, OWNER, found.id, found.pictures[0])
    with pytest.raises(NotFoundError):
        small_picture(teller.ledger, OWNER, found.pictures[0], 160)
    with pytest.raises(InvalidError):
        add_pictures(teller.ledger, OWNER, found.id, [b"%d" % each for each in range(30)])


def test_one_that_was_passed_up_stays_with_why_and_can_be_taken_back(teller: Teller, clock: FakeClock) -> None:
    found = kept(teller.ledger)
    passed = work.pass_up(teller.ledger, OWNER, found.id, " Too dear for what is left of it. ")
    assert (passed.verdict, passed.why) == (Verdict.PASSED_UP, "Too dear for what is left of it.")
    assert passed.decided is not None
    for refused in (
        lambda: work.change_prospect(teller.ledger, OWNER, found.id, said()),
        lambda: work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS),
        lambda: bought(teller.ledger, found),
    ):
        with pytest.raises(ConflictError, match="Take that back first"):
            refused()
    back = work.take_back(teller.ledger, OWNER, found.id)
    assert (back.verdict, back.decided, back.why) == (Verdict.OPEN, None, passed.why)
    assert bought(teller.ledger, found)


def test_bought_its_outlook_stands_before_its_purchase_in_one_act(teller: Teller) -> None:
    found = kept(teller.ledger)
    work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS)
    book = bought(teller.ledger, found)
    look = look_at(teller.ledger, OWNER, book)
    outlook, purchase = (moment.event for moment in look.moments)
    assert isinstance(outlook, Outlook)
    assert isinstance(purchase, Purchase)
    assert (outlook.stage, outlook.origin) == (OutlookStage.AT_PURCHASE, Origin.OWN)
    assert [(each.grade.text, each.per_mille) for each in outlook.weights] == [("7.5", 700), ("8.0", 300)]
    first, second = (moment.entry for moment in look.moments)
    assert (first.book_seq, second.book_seq, first.act == second.act) == (1, 2, True)
    assert look.book.outlooks == (first.seq,)
    assert look.book.status is Status.HELD
    assert (look.row.title, look.row.entries) == ("Captain Lantern", 2)
    after = now_of(teller.ledger, found)
    assert (after.verdict, after.book) == (Verdict.BOUGHT, book)


def test_such_a_book_holds_under_verify_rebuild_and_proof(keyed_ledger: Ledger) -> None:
    found = kept(keyed_ledger)
    work.state_outlook(keyed_ledger, OWNER, found.id, WEIGHTS)
    book = bought(keyed_ledger, found)
    sign_checkpoint(keyed_ledger, OWNER)
    assert verify_ledger(keyed_ledger, OWNER).findings == []
    before = look_at(keyed_ledger, OWNER, book)
    keyed_ledger.log.rebuild()
    assert look_at(keyed_ledger, OWNER, book) == before
    proof = book_proof(keyed_ledger, OWNER, book)
    assert isinstance(proof["entries"], list)
    assert len(proof["entries"]) == 2
    check_ledger(keyed_ledger)


def test_without_an_outlook_its_purchase_stands_alone(teller: Teller) -> None:
    look = look_at(teller.ledger, OWNER, bought(teller.ledger, kept(teller.ledger)))
    assert [moment.event.kind for moment in look.moments] == ["purchase"]


def test_it_is_bought_once_and_the_same_request_gives_the_same_answer(teller: Teller) -> None:
    found = kept(teller.ledger)
    work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS)
    asked, purchase = Request(key="buy", body=b"buy"), a_purchase("2026-03-02")
    first = work.buy(teller.ledger, OWNER, found.id, purchase, asked)
    again = work.buy(teller.ledger, OWNER, found.id, purchase, asked)
    assert (again.replayed, again.entries) == (True, first.entries)
    with pytest.raises(ConflictError, match="bought already"):
        work.buy(teller.ledger, OWNER, found.id, purchase)
    for refused in (work.take_back, work.take_away):
        with pytest.raises(ConflictError, match="was bought"):
            refused(teller.ledger, OWNER, found.id)


def test_a_purchase_that_is_refused_leaves_the_prospect_open_to_be_bought(teller: Teller) -> None:
    found = kept(teller.ledger)
    work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS)
    before = teller.kept()
    with pytest.raises(InvalidError):
        work.buy(teller.ledger, OWNER, found.id, a_purchase(holder_number="A-1"))
    assert teller.kept() == before
    assert now_of(teller.ledger, found).verdict is Verdict.OPEN
    assert bought(teller.ledger, found)


def test_a_book_begins_with_no_other_outlook(teller: Teller) -> None:
    """Rule of the door: the outlook is one at the purchase, and the purchase of that book follows it at once."""
    weights = (Weight(grade=Grade("8.0"), per_mille=1000),)
    early = Outlook(weights=weights, stage=OutlookStage.AT_PURCHASE)
    raw = Outlook(weights=weights, stage=OutlookStage.RAW)
    name = "b" * 26
    follows = Draft(event=a_purchase(), book=name)
    for drafts in (
        [Draft(event=early, new_book=True, id=name)],
        [Draft(event=early, new_book=True), follows],
        [Draft(event=raw, new_book=True, id=name), follows],
        [Draft(event=early, new_book=True, id=name), Draft(event=a_purchase(), new_book=True)],
    ):
        error = teller.refused(*drafts, error=InvalidError)
        assert any("A book begins with its purchase" in each.sentence for each in error.problems)
    teller.tell(Draft(event=early, new_book=True, id=name), follows)


def test_an_outlook_dated_after_the_outcome_of_nothing_stays_first_by_number(teller: Teller) -> None:
    """A purchase that is dated before the outlook was stated still comes second in the chain, and both dates are seen."""
    found = kept(teller.ledger)
    work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS)
    book = str(work.buy(teller.ledger, OWNER, found.id, a_purchase("2001-01-01")).entries[0].book)
    kinds = {moment.event.kind: moment.entry.book_seq for moment in look_at(teller.ledger, OWNER, book).moments}
    assert kinds == {"outlook": 1, "purchase": 2}


def test_what_is_erased_from_the_purchase_is_taken_out_of_the_prospect(teller: Teller) -> None:
    found = kept(teller.ledger, venue="Fair", listing=f"Sold by {CANARY}", note="Nice")
    work.state_outlook(teller.ledger, OWNER, found.id, WEIGHTS)
    book = bought(teller.ledger, found)
    other = kept(teller.ledger)
    purchase = look_at(teller.ledger, OWNER, book).moments[1].entry.seq
    teller.add(book, Erasure(entry=purchase, names=("seller",)))
    after = now_of(teller.ledger, found)
    assert (after.seller, after.listing, after.venue, after.asking) == ("", "", "Fair", usd("120.00"))
    teller.add(book, Erasure(entry=purchase, names=("price", "venue", "reason")))
    after = now_of(teller.ledger, found)
    assert (after.venue, after.asking, after.note) == ("", None, "")
    assert after.weights
    assert now_of(teller.ledger, other) == other
    assert forget_prospects(teller.ledger) == 0


def test_what_an_erasure_left_standing_is_made_up_for(teller: Teller) -> None:
    """As at the next start, after the program was cut off between the two."""
    found = kept(teller.ledger)
    book = bought(teller.ledger, found)
    purchase = look_at(teller.ledger, OWNER, book).moments[0].entry.seq
    teller.add(book, Correction(entry=purchase, changes={"seller": "Someone else"}))
    bought_one = now_of(teller.ledger, found)
    teller.add(book, Erasure(entry=purchase, names=("seller",)))
    market_of(teller.ledger).write(lambda writer: writer.put_prospect(bought_one))
    assert forget_prospects(teller.ledger) == 1
    assert now_of(teller.ledger, found).seller == ""


def test_nothing_is_taken_from_a_prospect_for_what_it_never_holds() -> None:
    found = Prospect(id="p", issue=an_issue(), seller="S", made=FakeClock().now())
    assert without(found, ["tax", "shipping"]) == found


def test_an_erased_name_is_in_no_file_of_the_folder(tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings) as ledger:
        found = kept(ledger)
        book = bought(ledger, found)
        purchase = look_at(ledger, OWNER, book).moments[0].entry.seq
        record(ledger, OWNER, [Draft(event=Erasure(entry=purchase, names=("seller",)), book=book)])
    with open_ledger(settings) as ledger:
        assert now_of(ledger, found).seller == ""
    holding = [
        path.name
        for path in (tmp_path / "data").rglob("*")
        if path.is_file() and any(form in path.read_bytes() for form in (CANARY.encode(), CANARY.encode("utf-16-le")))
    ]
    assert holding == []


def test_sales_of_its_issue_stand_beside_it_but_for_those_left_out(teller: Teller, clock: FakeClock) -> None:
    found = kept(teller.ledger)
    sales = [
        KeptSale(id="s1", issue=an_issue(), on=on("2026-01-05"), price=usd("90.00"), made=clock.now()),
        KeptSale(
            id="s2", issue=an_issue(), on=on("2026-02-05"), price=usd("95.00"), came=Came.PASTED, made=clock.now()
        ),
        KeptSale(id="s3", issue=an_issue(), price=usd("1.00"), left_out="A reprint.", made=clock.now()),
        KeptSale(id="s4", issue=an_issue(number="15"), price=usd("9.00"), made=clock.now()),
    ]

    def put(writer: MarketWriter) -> None:
        for each in sales:
            writer.put_sale(each)

    market_of(teller.ledger).write(put)
    look = work.look_at_prospect(teller.ledger, OWNER, found.id)
    assert [each.id for each in look.sales] == ["s2", "s1"]


def test_a_record_of_such_a_book_checks_with_the_makers_key(house: House) -> None:
    found = kept(house.ledger)
    work.state_outlook(house.ledger, OWNER, found.id, WEIGHTS)
    book = bought(house.ledger, found)
    made = issue(house.ledger, OWNER, book, Wish())
    report = check_file(given(house.ledger, made_record(house.ledger, OWNER, made.sha256), Form.FILE), [house.key])
    assert [each.sentence for each in report.findings] == []
    assert [each.kind for each in report.entries[:2]] == ["outlook", "purchase"]

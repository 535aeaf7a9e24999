"""For any book: the same telling gives the same bytes, no sealed value shows that was not opened, one word is never said."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.disclosed import EarlierSaid, Telling, disclosed_sheet
from ledger.entry import Entry
from ledger.errors import LedgerError
from ledger.events import KINDS, Event
from ledger.events._base import sealed_names
from ledger.events._parts import Answer, Face, Region
from ledger.events._settings import Settings
from ledger.events.choice import Choice, Next
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.earlier import Earlier, Verdict
from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork, Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.withdrawal import Withdrawal
from ledger.happening import by_date
from ledger.history import fold
from ledger.mended import mended
from ledger.money import Money
from ledger.proof.canonical import read
from ledger.proof.sheet import Section, Sheet
from ledger.proof.sheet_file import sheet_from
from ledger.rules.headings import Fact, Heading
from ledger.rules.techniques import techniques
from ledger.sealed import Sealed, SealState
from tests.builders import (
    BOOK,
    CODEC,
    a_defect,
    a_purchase,
    a_slab,
    an_entry,
    an_examination,
    an_intervention,
    an_issue,
    an_opening,
    on,
    usd,
)
from tests.counts import count
from tests.saying.saying import a_photograph, telling_of

NEVER = re.compile(r"unrestored|\bun\W+restored", re.IGNORECASE)
CANARY = "canary"
WORDS = st.sampled_from(
    ["as new", "Unrestored!", "un-restored", "UNRESTORED", "e\u0301 it", "\u0301 first", "two\nlines"]
)
DATES = st.sampled_from([None, "199X", "2001", "2001-05", "2001-05-05", "2003-03-03/2004-04-04", "2005-05-05", "2010"])


def a_value(kind: type[Event], name: str, number: int) -> Any:
    """Something that no other field holds, of the kind that the field takes."""
    (hint,) = [each.type for each in kind.__dataclass_fields__.values() if each.name == name]
    text = str(hint)
    if "Money" in text and "tuple" not in text:
        return usd(f"{number + 700_000}.17")
    return f"{CANARY}{number}x" if "str" in text else None


def laden(event: Event, number: int) -> Event:
    """The event with every sealed text and sum filled with a canary, as far as its own rules take one."""
    for name in sealed_names(type(event)):
        value = a_value(type(event), name, number)
        filled = event.with_sealed({**event.sealed_fields(), name: Sealed.of(value)})
        if value is not None and not list(filled.flaws()):
            event, number = filled, number + 1
    return event


TECHNIQUES = st.sampled_from([*(each.id for each in techniques()), "moon-bath"])
STEPS = st.builds(
    lambda name, when, facts, changed, others, hot: an_intervention(
        name, when, adds_material=facts, changed_anything=changed, by_other_hands=others,
        settings=Settings(set_celsius="65", hold_minutes=hot) if hot else None,
    ),
    TECHNIQUES, DATES, st.sampled_from([None, *Fact]), st.sampled_from([None, True, False]), st.booleans(),
    st.sampled_from([None, 12]),
)  # fmt: skip
PLACES = st.sampled_from([None, Region(x_mm="5", y_mm="7"), Region(x_mm="1", y_mm="2", width_mm="1", height_mm="900")])
LOOKS = st.builds(
    lambda when, gone, place, face: an_examination(
        when, defects=(a_defect("d1", gone=gone, region=place, face=face), a_defect("d2", "tear", size_mm="9", breaks_colour=Answer.YES)),
    ),
    DATES, st.booleans(), PLACES, st.sampled_from(list(Face)),
)  # fmt: skip
MENDS = st.one_of(
    st.builds(lambda seq, words: Correction(entry=seq, changes={"remark": f"{CANARY}99901x {words}"}), st.integers(1, 8), WORDS),
    st.builds(lambda seq: Correction(entry=seq, changes={"seller": f"{CANARY}99902x"}), st.integers(1, 3)),
    st.builds(lambda seq: Withdrawal(entry=seq), st.integers(2, 8)),
    st.builds(lambda seq, name: Erasure(entry=seq, names=(name,)), st.integers(1, 8), st.sampled_from(["remark", "seller"])),
)  # fmt: skip
HAPPENS: st.SearchStrategy[Event] = st.one_of(
    STEPS,
    LOOKS,
    DATES.map(an_opening),
    DATES.map(lambda when: a_photograph("a", when)),
    DATES.map(lambda when: Sale(on=on(when), disclosed=Disclosed.WORK)),
    DATES.map(lambda when: a_purchase(when, means=Means.CAME_BACK)),
    DATES.map(lambda when: Custody(on=on(when), direction=Direction.OUT, to_whom=Hands.FRAMER)),
    DATES.map(lambda when: Placement(on=on(when), spot=Spot.WALL)),
    DATES.map(lambda when: Earlier(on=on(when), record="c" * 64, verdict=Verdict.BROKEN)),
    DATES.map(lambda when: Choice(on=on(when), next=Next.STOP)),
    st.just(Note(words=Sealed.of("x"))),
    MENDS,
)
BOUGHT = st.builds(
    lambda slabbed, when, said, words, title: (a_slab if slabbed else a_purchase)(
        when, earlier_work=said, earlier_work_words=Sealed.of(words), issue=an_issue(title=title, variant="Unrestored")
    ),
    st.booleans(), DATES, st.sampled_from(list(EarlierWork)), WORDS, WORDS.filter(lambda each: "\n" not in each and "\u0301" not in each),
)  # fmt: skip


@st.composite
def tellings(draw: st.DrawFn) -> Telling:
    """Any book that can be read, each sealed field of it holding something, some of them opened."""
    entries: list[Entry] = [an_entry(draw(BOUGHT), 1)]
    for event in draw(st.lists(HAPPENS, max_size=9)):
        seq = len(entries) + 1
        filled = event if isinstance(event, Correction) else laden(event, seq * 100)
        more = [*entries, an_entry(filled.complete(entries), seq)]
        try:
            mended(more, CODEC)
        except LedgerError:
            continue
        entries = more
    # By date alone: to find an order in which all rules hold takes long, and what is told needs none.
    moments = by_date(mended(entries, CODEC))
    sealed = sorted({(each.seq, name) for each in entries for name in each.event.sealed_fields()})
    opened = draw(st.sets(st.sampled_from(sealed)))
    pictures = {each.entry.seq: "a" * 64 for each in moments if each.event.kind == "photograph"}
    return Telling(
        collection="c",
        book=fold(BOOK, 1, moments),
        moments=moments,
        opened=frozenset(opened),
        pictures=pictures if draw(st.booleans()) else {},
        earlier=(),
        stamped=draw(st.booleans()),
        made=telling_of(a_purchase()).made,
    )


def values_of(telling: Telling) -> Mapping[tuple[int, str], str]:
    """The canary of every sealed field, as it would be told."""
    found = {}
    for moment in telling.moments:
        event = moment.entry.event
        for name, held in event.sealed_fields().items():
            text = f"{held.value.minor // 100:,}" if isinstance(held.value, Money) else str(held.value)
            if held.state is SealState.OPEN and held.value is not None and (CANARY in text or text.startswith("70")):
                found[moment.entry.seq, name] = text.split(" ")[0]
    return found


ANY_BOOK = settings(max_examples=count(120, 2_000), deadline=None, suppress_health_check=[HealthCheck.too_slow])


@ANY_BOOK
@given(tellings())
def test_no_sealed_value_is_in_the_words_that_was_not_opened(telling: Telling) -> None:
    text = "\n".join(disclosed_sheet(telling).text())
    values = values_of(telling)
    shown = {value for place, value in values.items() if place in telling.opened}
    for place, value in values.items():
        if value not in shown:
            assert value not in text, place
        elif place in telling.opened:
            assert value in text, f"{place} was opened, and is not told"


@ANY_BOOK
@given(tellings())
def test_one_word_is_never_said_in_whatever_form_it_comes(telling: Telling) -> None:
    sheet = disclosed_sheet(telling)
    for text in sheet.text():
        assert NEVER.search(text) is None, text
    assert b"unrestored" not in sheet.to_bytes().lower()


@ANY_BOOK
@given(tellings(), st.randoms())
def test_the_same_telling_gives_the_same_bytes_in_whatever_order_its_choices_were_made(telling: Telling, random: Any) -> None:  # fmt: skip
    places, pictures = list(telling.opened), list(telling.pictures.items())
    random.shuffle(places)
    random.shuffle(pictures)
    again = replace(telling, opened=frozenset(places), pictures=dict(pictures), moments=list(telling.moments))
    first = disclosed_sheet(telling)
    assert disclosed_sheet(again).to_bytes() == first.to_bytes()
    assert disclosed_sheet(again).digest == first.digest


@ANY_BOOK
@given(tellings())
def test_what_is_said_is_read_back_as_it_was_said(telling: Telling) -> None:
    sheet = disclosed_sheet(telling)
    assert sheet_from(read(sheet.to_bytes(), what="The sheet")) == sheet
    for text in sheet.text():
        assert text == " ".join(text.split())
        assert text, "an empty text would be read by nobody"


@ANY_BOOK
@given(tellings())
def test_every_entry_has_exactly_one_line(telling: Telling) -> None:
    sheet = disclosed_sheet(telling)
    (entries,) = [each for each in sheet.sections if each.id == "entries"]
    rows = entries.blocks[-1].plain()["rows"]
    assert isinstance(rows, list)
    numbers = [int(str(row[0])) for row in rows if isinstance(row, list)]
    assert numbers == sorted(each.entry.seq for each in telling.moments)


@pytest.mark.parametrize("word", ["unrestored", "Un-Restored", "UN RESTORED", "un\u200brestored"])
def test_where_others_say_it_their_words_stand_with_another_in_its_place(word: str) -> None:
    bought = a_purchase(earlier_work=EarlierWork.DENIED, earlier_work_words=Sealed.of(f"Sold as {word}, they said."))
    theirs = Sheet(title=word, lead=f"It is {word}.", sections=(Section("x", word),))
    said = EarlierSaid(sha256="c" * 64, origin=word, verdict="whole", on="2024", sheet=theirs)
    text = "\n".join(disclosed_sheet(replace(telling_of(bought), earlier=(said,))).text())
    assert NEVER.search(text) is None
    assert "Sold as [not restored], they said." in text
    assert "“It is [not restored].”" in text


def test_words_that_only_look_like_it_stay() -> None:
    bought = a_purchase(earlier_work_words=Sealed.of("The sun restored it, untold, restored by none."))
    assert "The sun restored it, untold, restored by none." in "\n".join(disclosed_sheet(telling_of(bought)).text())


def test_every_kind_that_a_book_can_have_is_told() -> None:
    """So that a new kind is met by these tests: each is one line of the list at least."""
    assert {each.kind for each in KINDS.values()} >= {"purchase", "intervention", "examination", "note"}
    heading = Heading.NON_ADDITIVE
    sheet = disclosed_sheet(telling_of(a_purchase(), an_intervention("tear-sealing", owner_heading=heading)))
    assert "the owner holds non-additive" in "\n".join(sheet.text())

"""A condition report in words, section after section: the same for the page and for the sheet of paper."""

from collections.abc import Iterator, Mapping

from ledger.handling import Handling
from ledger.looks import MARKS_ASKED
from ledger.report import ClaimTold, DefectTold, Report
from ledger.rules.cautions import caution
from web.filters import moment, tally
from web.numbers import number
from web.prints import address_of, shown_as
from web.report_book import book_section, earlier_section, grades_section, look_section, looks_section
from web.report_parts import (
    Block,
    Facts,
    Lines,
    Photographs,
    Section,
    Shown,
    Table,
    Words,
    dated,
    every,
    grouped,
    known,
    region,
)
from web.report_parts import table as table_of
from web.report_work import work_section
from web.wording import t

__all__ = ["BY_HAND", "report_told"]

ON_THE_PAGE = 480
"""How wide a photograph is fetched. Units: px."""
BY_HAND = ("reason", "place", "owner", "consent", "tests", "composition", "waste", "next_check", "signed", "copies")
"""What a report is asked for and the ledger has no field of: lines to be filled in on the paper."""
DEFECT_HEAD = ("defect", "type", "region", "size", "colour", "note", "shown", "since", "last", "worked")
CLAIM_HEAD = ("defect", "type", "face", "note", "claimed_by", "told", "looked")


def report_told(of: Report, at_hand: Mapping[int, str]) -> tuple[Section, ...]:
    """All sections of a report.

    `at_hand` has the name of the copy beside a sheet for every photograph that is there, by the number of its entry.
    """
    return (
        book_section(of),
        look_section(of),
        _condition(of),
        _marks(of),
        grades_section(of),
        earlier_section(of),
        work_section(of),
        looks_section(of),
        _photographs(of, at_hand),
        Section("handling", t("report.handling.title"), (Words(tuple(_handling(of)), listed=True),)),
        Section("unknown", t("report.unknown.title"), (Words(tuple(_unknown(of)), listed=True),)),
        _by_hand(),
        _ledger(of),
    )


def _condition(of: Report) -> Section:
    """The defects of every face, those that have gone, and damage that a count found."""
    blocks: list[Block] = [Words((t("report.condition.observed"),))]
    head = tuple(t(f"report.defect.{name}") for name in DEFECT_HEAD)
    for face, found in of.faces:
        if found:
            rows = tuple(tuple(_defect(each)) for each in found)
            blocks.append(Table(t(f"report.faces.{face.value}"), head, rows))
    if bare := tuple(_bare(of)):
        blocks.append(Words(bare, t("report.condition.bare_title")))
    blocks.append(
        table_of(
            t("report.condition.gone"),
            head,
            (_defect(each) for each in of.gone),
            t("report.condition.no_gone"),
        )
    )
    blocks.append(_claims(of))
    damage = [t("report.condition.damage", when=dated(each), words=each.event.remark.value or "") for each in of.damage]
    blocks.append(
        Words(
            tuple(each.rstrip(" :") for each in damage) or (t("report.condition.no_damage"),),
            t("report.condition.counted"),
        )
    )
    return Section("condition", t("report.condition.title"), tuple(blocks))


def _bare(of: Report) -> Iterator[str]:
    """Sides without a defect: which look went over them and named none, else that this is no finding."""
    silent = []
    for face in (face for face, found in of.faces if not found):
        look = next((each for each in of.looks if face in each.event.faces_looked_at), None)
        if look is None:
            silent.append(t(f"report.faces.{face.value}"))
        else:
            yield t("report.condition.gone_over", face=t(f"report.faces.{face.value}"), look=dated(look))
    if silent:
        yield t("report.condition.bare", faces=", ".join(silent))
        yield t("report.condition.none_on_face") if of.looks else t("report.condition.never")


def _claims(of: Report) -> Block:
    """What others say of this copy and nobody here has seen."""
    head = (t(f"report.defect.{name}") for name in CLAIM_HEAD)
    rows = (tuple(_claim(each)) for each in of.claims)
    return table_of(t("report.condition.claims"), head, rows, t("report.condition.no_claims"))


def _claim(told: ClaimTold) -> Iterator[str]:
    of = told.defect
    yield of.id
    yield told.title
    yield of.face.value
    yield of.note or t("report.defect.no_note")
    yield of.claimed_by.value if of.claimed_by else t("frame.not_known")
    yield dated(told.told)
    yield dated(told.looked) if told.looked else t("report.none")


def _defect(told: DefectTold) -> Iterator[str]:
    of = told.defect
    yield of.id
    yield told.title
    yield region(of.region)
    size = [
        t("report.defect.mm", value=of.size_mm) if of.size_mm is not None else "",
        t("report.defect.count", value=of.count) if of.count is not None else "",
        t("report.defect.share", value=of.share_percent) if of.share_percent is not None else "",
    ]
    yield known(", ".join(filter(None, size)))
    yield of.breaks_colour.value
    yield of.note or t("report.defect.no_note")
    yield every(told.photographs)
    yield dated(told.since)
    yield dated(told.last)
    yield every(told.worked_by)


def _marks(of: Report) -> Section:
    rows = (
        (
            each.mark.id,
            each.mark.what,
            each.mark.face.value,
            region(each.mark.region),
            grouped(each.mark.photograph or "") or t("report.none"),
            dated(each.since),
        )
        for each in of.marks
    )
    head = (t(f"report.mark.{name}") for name in ("id", "what", "face", "region", "photograph", "since"))
    blocks: list[Block] = [table_of("", head, rows, t("report.mark.none"))]
    if len(of.marks) < MARKS_ASKED:
        blocks.append(Words((t("report.mark.asked", least=number(MARKS_ASKED)),)))
    return Section("marks", t("report.mark.title"), tuple(blocks))


def _photographs(of: Report, at_hand: Mapping[int, str]) -> Section:
    """Every photograph by its digest; the picture where it is at hand."""
    shown = []
    for each in of.photographs:
        event = each.event
        rows = [
            (t("report.photograph.entry"), dated(each)),
            (t("report.photograph.face"), event.face.value),
            (t("report.photograph.light"), event.light.value),
            (t("report.photograph.defect"), event.of_defect or t("report.none")),
            (t("report.photograph.clean"), grouped(event.clean)),
            (t("report.photograph.original"), grouped(event.original)),
        ]
        if each.seq not in at_hand:
            rows.append((t("report.photograph.picture"), t("report.photograph.missing")))
        file = at_hand.get(each.seq, "")
        href = address_of(event, ON_THE_PAGE) if file else ""
        shown.append(Shown(each.seq, href, shown_as(event), tuple(rows), file))
    block: Block = Photographs(tuple(shown)) if shown else Words((t("report.photograph.none"),))
    return Section("photographs", t("report.photograph.title"), (Words((t("report.photograph.label"),)), block))


def _handling(of: Report) -> Iterator[str]:
    """The cautions in the order of their kinds; of mould the whole caution of the table."""
    for each in of.handling:
        yield t(f"report.handling.{each.value}")
        if each is Handling.MOULD:
            yield caution("mould").text


def _unknown(of: Report) -> Iterator[str]:
    """What nobody has recorded, said as such."""
    if not of.looks:
        yield t("report.unknown.look")
    for each in of.measures:
        if each.value is None:
            yield t(f"report.unknown.{each.name}")
    if of.told_last("staple_rust") is None and not of.rusted:
        yield t("report.unknown.staple_rust")
    for name in ("tone", "suppleness", "odour", "presents_as", "technical", "completeness"):
        if of.told_last(name) is None:
            yield t(f"report.unknown.{name}")
    if of.last is not None and not of.last.event.lights:
        yield t("report.unknown.lights")
    if of.last is not None and not of.last.event.faces_looked_at:
        yield t("report.unknown.faces")
    if not of.photographs:
        yield t("report.unknown.photographs")
    yield t("report.unknown.before")
    yield t("report.unknown.uncertainty")


def _by_hand() -> Section:
    names = tuple(t(f"report.hand.{name}") for name in BY_HAND)
    return Section("hand", t("report.hand.title"), (Words((t("report.hand.why"),)), Lines(names)))


def _ledger(of: Report) -> Section:
    """By what the paper is held against the ledger."""
    state = of.state
    signed = t("report.ledger.unsigned")
    if state.signed_size is not None:
        signed = t("report.ledger.signed", size=tally(state.signed_size), when=moment(state.signed))
    rows = (
        (t("report.ledger.collection"), state.collection),
        (t("report.ledger.size"), tally(state.size)),
        (t("report.ledger.moment"), moment(state.recorded)),
        (t("report.ledger.root"), grouped(state.root)),
        (t("report.ledger.heads_root"), grouped(state.heads_root)),
        (t("report.ledger.checkpoint"), signed),
        (t("report.ledger.book_seq"), tally(state.book_seq)),
        (t("report.ledger.book_leaf"), grouped(state.book_leaf)),
    )
    return Section(
        "ledger", t("report.ledger.title"), (Facts(rows), Words((t("report.ledger.how"), t("report.ledger.copies"))))
    )

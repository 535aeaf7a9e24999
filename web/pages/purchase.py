"""New purchase: four fields are enough, everything else can come later; a book begins with what is written here."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.barcodes import TYPED_MOST, read_barcode
from ledger.errors import LedgerError, MalformedError, Problem
from ledger.events.purchase import Purchase
from ledger.ports import Ledger
from ledger.proof.canonical import GREATEST, Plain
from ledger.usecases.barcodes import keep_barcode, look_at_barcode
from ledger.usecases.record import Draft, record
from ledger.when import When
from web import series
from web.deps import AccountsDep, ActorDep, FrameDep, LedgerDep, PostedDep, SignedInDep, WaitingDep
from web.entering import Fault, ask, faults_listed, faults_of, fresh_key, key_of, placing, refusal, remember, told_of
from web.entry_starts import issue_plain
from web.form_showing import Block, Field, View, labels_of
from web.form_values import Habits
from web.forms import Form, Heard, Typed, form_of, habits_of, strangers, typed_in
from web.frame import Frame
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/purchase"
DRAFT: Final = "purchase"
TAKE_OVER: Final = "take_over"
BARCODE: Final = "barcode"
TITLE, NUMBER = "issue.title", "issue.number"
SIZES: Final = {TITLE: "long", NUMBER: "short", "on": "", "price": ""}
LIVE: Final = {TITLE: ("title", ""), NUMBER: ("number", TITLE)}
KEPT: Final = ("seller", "venue")
"""What books bought together have in common, beside the day."""


@page("purchase.html")
@dataclass(frozen=True, kw_only=True)
class PurchasePage(Page):
    """The form of a purchase."""

    first: tuple[Field, ...]
    lines: tuple[Block, ...]
    takes_over: bool
    problems: tuple[Fault, ...]
    next_entry: int
    key: str
    waiting: str
    barcode: str
    """The code the book is bought by, remembered for its issue; empty for none."""


@router.get(PATH)
def purchase(  # noqa: PLR0913 - what a request brings along
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    who: SignedInDep,
    waiting: WaitingDep,
    after: Annotated[int | None, Query(ge=1, le=GREATEST)] = None,
    barcode: Annotated[str, Query(max_length=TYPED_MOST)] = "",
) -> Response:
    """A blank form; one that waited comes back as it was, and one after another keeps day, seller and venue.

    A barcode fills in the issue that it leads to.
    """
    sent = waiting if waiting is not None and waiting.action == PATH else None
    form, habits = _form(ledger), habits_of(who.person.preferences, ledger.clock)
    if sent is not None:
        typed = typed_in(sent)
    elif barcode:
        typed = _by_barcode(ledger, actor, form, barcode, habits)
    else:
        typed = _after(ledger, form, after, habits) if after is not None else {}
    view = replace(_view(typed), focus=TITLE)
    key, id_of = key_of(ledger, sent), sent.waiting if sent is not None else ""
    return render(_page(frame, form, view, key=key, waiting=id_of))


@router.post(PATH)
def write(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    accounts: AccountsDep,
    actor: ActorDep,
    who: SignedInDep,
    posted: PostedDep,
) -> Response:
    """The book begins, or the form comes back with what stands in its way."""
    form, typed, key = _form(ledger), typed_in(posted), key_of(ledger, posted)
    plain, heard = form.heard(typed, habits_of(who.person.preferences, ledger.clock))
    heard.problems += strangers(typed, heard.names | {TAKE_OVER, BARCODE})
    try:
        issue, taken = _with_series(ledger, typed, plain)
        event = form.event({**plain, "issue": issue}, heard, ledger.codec)
        with placing(heard):
            recorded = record(ledger, actor, [Draft(event=event, new_book=True)], ask(PATH, key, typed, posted))
    except LedgerError as error:
        refused = refusal(error)
        key = fresh_key(ledger) if refused.key_is_used else key
        view = _returned(ledger, typed, heard, refused.problems)
        shown = _page(frame, form, view, key=key, problems=refused.problems, waiting=posted.waiting)
        return render(shown, status=refused.status)
    remember(accounts, who, typed, heard)
    _keep_barcode(ledger, actor, posted.get(BARCODE), recorded.entries[0].book)
    entry = recorded.entries[0]
    if posted.get("do") == "next":
        more = " ".join(part for part in (taken, t("purchase.kept")) if part)
        return go_to(request, f"{PATH}?after={entry.seq}", told_of(recorded, DRAFT, more))
    return go_to(request, f"/books/{entry.book}", told_of(recorded, DRAFT, taken))


def _form(ledger: Ledger) -> Form:
    """The form of a purchase, with the series there are."""
    with ledger.log.read() as reader:
        return form_of("purchase", known={TITLE: [(each, each) for each in series.titles(reader)]})


def _after(ledger: Ledger, form: Form, seq: int, habits: Habits) -> Typed:
    """Day, seller and venue of the purchase before."""
    with ledger.log.read() as reader:
        event = reader.entry(seq).event
    if not isinstance(event, Purchase):
        return {}
    values = {name: event.sealed_fields()[name].value for name in KEPT}
    typed = form.inputs({"on": str(event.on) if event.on else None, **values}, habits)
    return {name: typed[name] for name in ("on", *KEPT)}


def _by_barcode(ledger: Ledger, actor: Actor, form: Form, text: str, habits: Habits) -> Typed:
    """The issue that a code leads to, and the code itself; nothing for what is no barcode."""
    try:
        found = look_at_barcode(ledger, actor, read_barcode(text))
    except MalformedError:
        return {}
    typed = form.inputs({"issue": issue_plain(found.issue)}, habits) if found.issue is not None else {}
    said = {name: value for name, value in typed.items() if name.startswith("issue.")}
    return {**said, BARCODE: (found.barcode.code,)}


def _keep_barcode(ledger: Ledger, actor: Actor, text: str, book: str | None) -> None:
    """The code it was bought by leads to its issue from now on."""
    if text and book:
        with suppress(MalformedError):
            keep_barcode(ledger, actor, read_barcode(text), book)


def _with_series(ledger: Ledger, typed: Typed, plain: Mapping[str, Plain]) -> tuple[Plain, str]:
    """The issue with what is known of its series, and a sentence that tells what was taken over."""
    issue = plain.get("issue")
    if not isinstance(issue, dict) or TAKE_OVER not in typed:
        return issue, ""
    with ledger.log.read() as reader:
        taken = series.taken_over(issue, series.known(reader, str(issue.get("title", ""))))
    names = ("publisher", "start_year", "cover_date")
    new = [(name, taken[name]) for name in names if name in taken and name not in issue]
    words = ", ".join(When.parse(str(each)).label() if name == "cover_date" else str(each) for name, each in new)
    return taken, t("purchase.taken", what=words) if new else ""


def _returned(ledger: Ledger, typed: Typed, heard: Heard, problems: Sequence[Problem]) -> View:
    """The form as it was sent, with what the collection says of title and number."""
    title, number = ("".join(typed.get(name, ())[:1]).strip() for name in (TITLE, NUMBER))
    with ledger.log.read() as reader:
        readings = {
            TITLE: series.title_said(reader, title) if title else "",
            NUMBER: series.number_said(reader, title, number) if title and number else "",
        }
    return replace(_view(typed), heard=heard, faults=faults_of(problems), readings=readings)


def _view(typed: Typed) -> View:
    """The four fields need no words below them but how they are read."""
    labels = {name: t(f"purchase.labels.{name.rpartition('.')[2]}") for name in SIZES}
    return View(typed=typed, labels=labels, notes=dict.fromkeys(SIZES, ""), live=LIVE)


def _page(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    form: Form,
    view: View,
    *,
    key: str,
    waiting: str,
    problems: Sequence[Problem] = (),
) -> PurchasePage:
    parts = form.shown(view)
    is_blank = not view.typed or view.heard is None
    return PurchasePage(
        frame=frame,
        first=tuple(replace(part, size=SIZES[part.name]) for part in parts if isinstance(part, Field)),
        lines=tuple(replace(part, now=_now(part)) for part in parts if isinstance(part, Block)),
        takes_over=is_blank or TAKE_OVER in view.typed,
        problems=faults_listed(problems, labels_of(parts)),
        next_entry=(frame.entries or 0) + 1,
        key=key,
        waiting=waiting,
        barcode="".join(view.typed.get(BARCODE, ())[:1]),
    )


def _now(line: Block) -> str:
    """What a closed line says at its right."""
    return t(f"purchase.now.{line.name.partition(':')[0]}")

"""One prospect: what its listing says, the collector's outlook, the most to pay; passed up, taken back, or bought."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.errors import ConflictError, InvalidError, LedgerError, Problem
from ledger.events.purchase import Purchase
from ledger.market import Prospect, Verdict
from ledger.ports import Ledger
from ledger.usecases import prospect_writes as writes
from ledger.usecases import prospects as work
from ledger.usecases.comparables import perhaps_meant
from ledger.usecases.prospect_outlook import prospect_outlook, prospect_values
from ledger.when import When
from web.deps import ActorDep, LedgerDep, PostedDep, WaitingDep
from web.entering import added_row, ask, faults_listed, faults_of, key_of, placing, refusal, told_of
from web.form_fields import Part
from web.form_showing import View, labels_of
from web.form_values import Habits, amount_read
from web.forms import Form, Heard, Typed, form_of, strangers, typed_in
from web.frame import Frame, Told
from web.pages.prospects import PATH, ProspectFormPage, framed
from web.posted import Posted
from web.prospect_form import plain_of
from web.prospect_outlook import ComputedTold, computed_told, now_told
from web.prospect_told import SAID, ProspectTold, Step, prospect_told, steps_of, weights_of
from web.prospect_worth import Most, most_of
from web.render import Page, page, render
from web.sender import Sender, SenderDep
from web.told import go_to
from web.value_told import meant_words
from web.wording import t

router = APIRouter()

ONE: Final = f"{PATH}/{{prospect}}"


@page("prospect.html")
@dataclass(frozen=True, kw_only=True)
class ProspectPage(Page):
    """One of them, and the forms that change what is held of it."""

    told: ProspectTold
    meant: str
    """Of which issues sales are kept that may be the one meant; empty where there are sales of it, or of none."""
    steps: tuple[Step, ...]
    """Every step of the scale, as its weight is typed."""
    said: str
    """The outlook as it was written in a line that could not be read."""
    computed: ComputedTold | None
    now: str
    """What one that was passed up would be worth today; empty for any other."""
    most: Most
    why: str
    problems: tuple[Problem, ...]
    waiting: str


@router.get(ONE)
def look(by: SenderDep, waiting: WaitingDep, prospect: str) -> Response:
    """What is held of it; the address may ask for the most to pay."""
    asked = dict(by.request.query_params)
    own = waiting if waiting is not None and waiting.action.startswith(f"{PATH}/{prospect}/") else None
    return render(_page(by, prospect, asked=asked, sent=own))


@router.post(f"{ONE}/outlook")
def state(by: SenderDep, posted: PostedDep, prospect: str) -> Response:
    """The outlook as of now, or the form comes back."""
    try:
        work.state_outlook(by.ledger, by.actor, prospect, weights_of(posted))
    except (InvalidError, ConflictError) as error:
        return _back(by, prospect, posted, error)
    return go_to(by.request, f"{PATH}/{prospect}", Told(sentence=t("prospects.weighed")))


@router.post(f"{ONE}/pass")
def pass_up(by: SenderDep, posted: PostedDep, prospect: str) -> Response:
    """It was not bought, and why."""
    try:
        work.pass_up(by.ledger, by.actor, prospect, posted.get("why"))
    except (InvalidError, ConflictError) as error:
        return _back(by, prospect, posted, error)
    return go_to(by.request, f"{PATH}/{prospect}", Told(sentence=t("prospects.passed")))


@router.post(f"{ONE}/back")
def take_back(request: Request, ledger: LedgerDep, actor: ActorDep, prospect: str) -> Response:
    """It is open again."""
    work.take_back(ledger, actor, prospect)
    return go_to(request, f"{PATH}/{prospect}", Told(sentence=t("prospects.open_again")))


@router.post(f"{ONE}/off")
def take_away(request: Request, ledger: LedgerDep, actor: ActorDep, prospect: str) -> Response:
    """It is no longer kept."""
    work.take_away(ledger, actor, prospect)
    return go_to(request, PATH, Told(sentence=t("prospects.gone")))


@router.post(f"{ONE}/pictures/{{sha256}}/off")
def take_picture(request: Request, ledger: LedgerDep, actor: ActorDep, prospect: str, sha256: str) -> Response:
    """It no longer has that picture."""
    writes.take_picture(ledger, actor, prospect, sha256)
    return go_to(request, f"{PATH}/{prospect}", Told(sentence=t("prospects.picture_gone")))


@router.get(f"{ONE}/buy")
def buying(by: SenderDep, waiting: WaitingDep, prospect: str) -> Response:
    """The form of its purchase, filled in with what the listing said."""
    found = work.look_at_prospect(by.ledger, by.actor, prospect).prospect
    habits, form = by.habits, form_of(Purchase.kind)
    if waiting is not None and waiting.action == f"{PATH}/{prospect}/buy":
        return render(_form(by.frame, by.ledger, found, form, View(typed=typed_in(waiting)), waiting))
    plain = {**plain_of(found, by.ledger.codec), "on": When.of_day(habits.today).label()}
    typed = form.inputs({name: value for name, value in plain.items() if name in _names(form.parts)}, habits)
    return render(_form(by.frame, by.ledger, found, form, View(typed=typed), None))


@router.post(f"{ONE}/buy")
def buy(by: SenderDep, posted: PostedDep, prospect: str) -> Response:
    """Outlook and purchase are written in one act, or the form comes back."""
    found = work.look_at_prospect(by.ledger, by.actor, prospect).prospect
    form, typed, key = form_of(Purchase.kind), typed_in(posted), key_of(by.ledger, posted)
    if more := added_row(typed):
        return render(_form(by.frame, by.ledger, found, form, View(typed=typed, more=more), posted))
    plain, heard = form.heard(typed, by.habits)
    heard.problems += strangers(typed, heard.names)
    try:
        event = form.event(plain, heard, by.ledger.codec)
        assert isinstance(event, Purchase)
        with placing(heard):
            asked = ask(f"{PATH}/{prospect}/buy", key, typed, posted)
            recorded = work.buy(by.ledger, by.actor, prospect, event, asked)
    except LedgerError as error:
        return _unbought(by.frame, by.ledger, found, form, typed, heard, posted, error)
    told = told_of(recorded, f"prospect-{prospect}-buy")
    return go_to(by.request, f"/books/{recorded.entries[0].book}", told)


def _unbought(  # noqa: PLR0913 - a form that comes back
    frame: Frame,
    ledger: Ledger,
    found: Prospect,
    form: Form,
    typed: Typed,
    heard: Heard,
    posted: Posted,
    error: LedgerError,
) -> Response:
    """The form with what stands in its way; whatever was bought or passed up before is told too."""
    if isinstance(error, ConflictError):
        problems: tuple[Problem, ...] = (Problem(field="", sentence=str(error)),)
        status = 409
    else:
        refused = refusal(error)
        problems, status = refused.problems, refused.status
    view = View(typed=typed, heard=heard, faults=faults_of(problems))
    return render(_form(frame, ledger, found, form, view, posted, problems), status=status)


def _form(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    found: Prospect,
    form: Form,
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
) -> ProspectFormPage:
    parts = form.shown(view)
    return ProspectFormPage(
        frame=framed(frame),
        title=t("prospects.buy_title", issue=found.issue),
        lede=t("prospects.buy_lede") if found.weights else t("prospects.buy_lede_bare"),
        action=f"{PATH}/{found.id}/buy",
        draft=f"prospect-{found.id}-buy",
        first=(),
        lines=parts,
        with_files=False,
        button=t("prospects.buy_write"),
        note=t("new_entry.seal_legend"),
        key=key_of(ledger, posted),
        waiting=posted.waiting if posted is not None else "",
        problems=faults_listed(problems, labels_of(parts)),
        back=f"{PATH}/{found.id}",
    )


def _names(parts: Sequence[Part]) -> set[str]:
    return {each.name for each in parts}


def _back(by: Sender, prospect: str, posted: Posted, error: InvalidError | ConflictError) -> Response:
    """The page with what stands in its way, and all that was typed."""
    said = error.problems if isinstance(error, InvalidError) else (Problem(field="", sentence=str(error)),)
    status = 422 if isinstance(error, InvalidError) else 409
    return render(_page(by, prospect, sent=posted, problems=said), status=status)


def _page(
    by: Sender,
    prospect: str,
    *,
    asked: dict[str, str] | None = None,
    sent: Posted | None = None,
    problems: Sequence[Problem] = (),
) -> ProspectPage:
    ledger, actor, habits = by.ledger, by.actor, by.habits
    look = work.look_at_prospect(ledger, actor, prospect)
    values = prospect_values(ledger, actor, look.prospect, _currency(asked or {}, habits), habits.today)
    return ProspectPage(
        frame=framed(by.frame),
        told=prospect_told(look),
        meant="" if look.sales else meant_words(perhaps_meant(ledger, actor, look.prospect.issue)),
        steps=steps_of(look.prospect, sent),
        said=sent.get(SAID) if sent is not None else "",
        computed=computed_told(look.prospect, prospect_outlook(ledger, actor, look.prospect)),
        now=now_told(values) if look.prospect.verdict is Verdict.PASSED_UP else "",
        most=most_of(ledger, actor, look.prospect, asked or {}, habits, values.graded),
        why=sent.get("why") if sent is not None else "",
        problems=tuple(
            Problem(field="weights" if each.field.startswith("weights") else each.field, sentence=each.sentence)
            for each in problems
        ),
        waiting=sent.waiting if sent is not None else "",
    )


def _currency(asked: dict[str, str], habits: Habits) -> str | None:
    """That of the first amount in the address, else the person's own; None for that of most sales."""
    answers = (amount_read(text, habits).plain for text in asked.values() if text.strip())
    return next((str(each["currency"]) for each in answers if isinstance(each, dict)), habits.currency)

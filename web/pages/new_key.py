"""A new signing key: why there is one, and what follows; the password is asked for again."""

from dataclasses import dataclass, replace
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.actor import Actor
from ledger.errors import InvalidError, LedgerError, Problem
from ledger.events.key import Action, Key
from ledger.ports import Ledger
from ledger.usecases.rotate import Started, Why, keys_on_record, start_new_key
from ledger.when import When
from web.deps import AccountsDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep, SignedInDep, WaitingDep
from web.entering import Fault, ask, faults_listed, faults_of, fresh_key, key_of, placing, refusal, remember
from web.form_fields import Leaf, Option, Part
from web.form_layout import only
from web.form_parts import parts_of
from web.form_showing import Shown, View, labels_of
from web.forms import Form, Heard, Typed, habits_of, strangers, typed_in
from web.frame import Frame, Place, Told
from web.pages.signing_key import AtHand, at_hand
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/settings/key/new"
FIELDS: Final = ("action", "stolen_since", "remark")
HANDS_OVER: Final = Action.ROTATE
BREAKS: Final = (Action.LOST, Action.STOLEN)


@page("settings/new_key.html")
@dataclass(frozen=True, kw_only=True)
class NewKeyPage(Page):
    """Asks what happened to the key, and says what will be done."""

    parts: tuple[Shown, ...]
    at_hand: AtHand
    problems: tuple[Fault, ...]
    key: str
    waiting: str


@router.get(PATH)
def new_key(frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, waiting: WaitingDep) -> Response:
    """The form; the password was given just now."""
    held = waiting if waiting is not None and waiting.action == PATH else None
    form, stands = _form(ledger, actor)
    view = View(typed=typed_in(held) if held is not None else {})
    id_of = held.waiting if held is not None else ""
    return render(_page(frame, form, view, stands, key=key_of(ledger, held), waiting=id_of))


@router.post(PATH)
def start(  # noqa: PLR0913 - what a request brings along
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    accounts: AccountsDep,
    who: SignedInDep,
    actor: ConfirmedActorDep,
    posted: PostedDep,
) -> Response:
    """The new key is in use, or the form comes back with what stands in its way."""
    typed, key = typed_in(posted), key_of(ledger, posted)
    habits = habits_of(who.person.preferences, ledger.clock)
    form, stands = _form(ledger, actor)
    plain, heard = form.heard(typed, habits)
    heard.problems += strangers(typed, heard.names)
    try:
        # The verifier key stands for the new one, which is made only once nothing stands against it.
        event = form.event({**plain, "vkey": ledger.signer.verifier.vkey}, heard, ledger.codec)
        assert isinstance(event, Key)
        why = _why(event, When.of_day(habits.today))
        _refuse(why)
        started = _started(ledger, actor, why, heard, typed, posted, key)
    except LedgerError as error:
        refused = refusal(error)
        key = fresh_key(ledger) if refused.key_is_used else key
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        shown = _page(frame, form, view, stands, key=key, waiting=posted.waiting)
        listed = faults_listed(refused.problems, labels_of(shown.parts))
        return render(replace(shown, problems=listed), status=refused.status)
    remember(accounts, who, typed, heard)
    return go_to(request, "/settings/key", _told(started))


def _why(event: Key, today: When) -> Why:
    return Why(action=event.action, on=today, stolen_since=event.stolen_since, remark=event.remark)


def _refuse(why: Why) -> None:
    """What the kind would refuse too, in the words of this page.

    Raises: InvalidError.
    """
    since, stolen = why.stolen_since, why.action is Action.STOLEN
    if stolen and since is None:
        sentence = t("settings.new_key.faults.since_when")
    elif not stolen and since is not None:
        sentence = t("settings.new_key.faults.no_since")
    elif since is not None and why.on is not None and why.on.certainly_before(since):
        sentence = t("settings.new_key.faults.to_come")
    else:
        return
    raise InvalidError(problems=(Problem(field="stolen_since", sentence=sentence),))


def _started(  # noqa: PLR0913 - who sends what to whom
    ledger: Ledger, actor: Actor, why: Why, heard: Heard, typed: Typed, posted: Posted, key: str
) -> Started:
    with placing(heard):
        return start_new_key(ledger, actor, why, ask(PATH, key, typed, posted))


def _told(started: Started) -> Told:
    (entry,) = started.recorded.entries
    unsigned = t("settings.new_key.unsigned", why=started.unsigned) if started.unsigned else ""
    said = t("settings.new_key.done", seq=entry.seq, summary=entry.event.summary())
    return Told(sentence=" ".join(part for part in (said, unsigned) if part))


def _form(ledger: Ledger, actor: Actor) -> tuple[Form, AtHand]:
    """What is asked; a key that is not at hand, or not in use, can hand nothing over."""
    stands = at_hand(ledger, keys_on_record(ledger, actor))
    actions = (HANDS_OVER, *BREAKS) if stands is AtHand.FITS else BREAKS
    options = tuple(Option(each.value, t(f"settings.new_key.why.{each.value}"), each.value) for each in actions)
    asked = tuple(_asked(each, options) for each in only(parts_of(Key), FIELDS))
    return Form(kind=Key.kind, parts=asked), stands


def _asked(part: Part, options: tuple[Option, ...]) -> Part:
    assert isinstance(part, Leaf)  # a key has neither groups nor rows
    part = replace(part, title=t(f"settings.new_key.{part.name}"))
    if part.name == "action":
        return replace(part, note="", options=options, default=(options[0].value,))
    if part.name == "stolen_since":
        return replace(part, note=t("settings.new_key.stolen_since_note"), size="long")
    return replace(part, note="")


def _page(  # noqa: PLR0913 - what is shown, and how it is asked
    frame: Frame, form: Form, view: View, stands: AtHand, *, key: str, waiting: str
) -> NewKeyPage:
    return NewKeyPage(
        frame=frame.at(Place.SETTINGS),
        parts=form.shown(view),
        at_hand=stands,
        problems=(),
        key=key,
        waiting=waiting,
    )

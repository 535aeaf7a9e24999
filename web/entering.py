"""What every form that appends has in common: its key, how the ledger is asked, what is told afterwards, what is remembered."""

import hashlib
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from fastapi import Request as HttpRequest

from ledger.accounts import DATE_ORDERS, MARKS, Accounts, SignedIn
from ledger.errors import InvalidError, KeyReusedError, LedgerError, Problem, RuleError
from ledger.ports import Ledger
from ledger.proof.canonical import Plain, encode
from ledger.usecases.preferences import choose
from ledger.usecases.record import Recorded, Request, random_id
from web.forms import CONTROLS, Heard, Typed, strangers
from web.frame import Told
from web.posted import Posted
from web.wording import t

__all__ = [
    "Fault",
    "Refusal",
    "action_of",
    "added_row",
    "ask",
    "faults_listed",
    "faults_of",
    "fresh_key",
    "key_of",
    "placing",
    "refusal",
    "refuse_unread",
    "remember",
    "told_of",
]

KEY: Final = re.compile(r"[a-z2-7]{26}")
WARNED_MOST: Final = 4
"""Warnings that are told one by one; the sentence goes along in a cookie."""
WORDS_MOST: Final = 1_500


def fresh_key(ledger: Ledger) -> str:
    """The key of a form that is opened."""
    return random_id(ledger.chance)


def key_of(ledger: Ledger, posted: Posted | None) -> str:
    """The key under which a form that was sent, or has waited, is written; a fresh one where it has none."""
    sent = posted.get("key") if posted is not None else ""
    return sent if KEY.fullmatch(sent) else fresh_key(ledger)


def ask(action: str, key: str, typed: Typed, posted: Posted) -> Request:
    """How the ledger is asked: a key stands for this address, these words and these files."""
    words = {name: list(values) for name, values in sorted(typed.items()) if name not in CONTROLS}
    files = {
        name: [hashlib.sha256(each.data).hexdigest() for each in uploads]
        for name, uploads in sorted(posted.uploads.items())
    }
    body = encode(cast("Plain", {"action": action, "words": words, "files": files}))
    return Request(key=f"form {key}", body=body)


def added_row(typed: Typed) -> str:
    """The rows that get one more, if that was asked for instead of writing."""
    return "".join(typed.get("do", ())[:1]).partition("add:")[2]


def told_of(recorded: Recorded, draft: str, more: str = "") -> Told:
    """What was written, with what stands beside it that did not stop it."""
    entries = recorded.entries
    if len(entries) == 1:
        said = t("new_entry.written", seq=entries[0].seq, summary=entries[0].event.summary())
    else:
        ends = {"first": entries[0].seq, "last": entries[-1].seq}
        alone = len({each.book for each in entries}) == 1
        said = t("new_entry.written_together", **ends) if alone else t("new_entry.written_all", **ends)
    warned = recorded.warnings[:WARNED_MOST]
    words = " ".join(part for part in (said, more, *warned) if part)
    return Told(sentence=words if len(words) <= WORDS_MOST else f"{words[:WORDS_MOST]} …", draft=draft)


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """Why nothing was written, as a form can show it."""

    problems: tuple[Problem, ...]
    status: int
    key_is_used: bool = False
    """Its key stands for something else already, so the form needs a fresh one."""


@contextmanager
def placing(heard: Heard) -> Iterator[None]:
    """What the ledger refuses in here is told at the inputs it is about."""
    try:
        yield
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=heard.placed(error.problems)) from error


def refusal(error: LedgerError) -> Refusal:
    """What a form shows of an error.

    Raises: the error itself, where no form can mend it.
    """
    match error:
        case InvalidError():
            return Refusal(problems=error.problems, status=422)
        case RuleError():
            return Refusal(problems=error.problems, status=409)
        case KeyReusedError():
            problem = Problem(field="", sentence=t("new_entry.sent_before"))
            return Refusal(problems=(problem,), status=409, key_is_used=True)
    raise error


def refuse_unread(heard: Heard, typed: Typed, *more: str) -> None:
    """Nothing, where all that was typed could be read and the form has it; `more` are inputs that are no field.

    Raises: InvalidError with every problem.
    """
    problems = [*heard.problems, *strangers(typed, heard.names | set(more))]
    if problems:
        raise InvalidError(problems=tuple(problems))


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One problem at the top of a form that came back: which field it is about, the mend, and the entries in its way."""

    field: str
    label: str
    sentence: str
    entries: tuple[int, ...]


def faults_listed(problems: Sequence[Problem], labels: Mapping[str, str]) -> tuple[Fault, ...]:
    """The problems with the whole first, then those of the fields in their order, each with the label of its field."""
    places = {name: place for place, name in enumerate(labels, start=1)}
    return tuple(
        Fault(
            field=each.field if each.field in labels else "",
            label=labels.get(each.field, ""),
            sentence=each.sentence,
            entries=each.entries,
        )
        for each in sorted(problems, key=lambda each: places.get(each.field, 0))
    )


def faults_of(problems: Sequence[Problem]) -> dict[str, str]:
    """What stands at each input: all that is wrong with it."""
    faults: dict[str, str] = {}
    for problem in problems:
        if problem.field:
            said = faults.get(problem.field, "")
            faults[problem.field] = f"{said} {problem.sentence}".strip()
    return faults


def remember(accounts: Accounts, who: SignedIn, typed: Typed, heard: Heard) -> None:
    """The ways of reading that were chosen in this form hold from now on, where that was ticked."""
    chosen: Mapping[str, str] = heard.habits_chosen
    known = {"marks": MARKS, "date_order": DATE_ORDERS}
    kept: dict[str, Any] = {
        name: chosen[name] for name in typed.get("remember", ()) if chosen.get(name) in known.get(name, ())
    }
    if kept:
        choose(accounts, who, replace(who.person.preferences, **kept))


def action_of(request: HttpRequest) -> str:
    """The address of a form's own page, with what it asks for but without an id of waiting."""
    query = "&".join(part for part in request.url.query.split("&") if part and not part.startswith("waiting="))
    return f"{request.url.path}?{query}" if query else request.url.path

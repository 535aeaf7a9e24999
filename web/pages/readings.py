"""How what is typed will be read, asked for while typing: amounts, dates, grades, and what the collection has of a series."""

from typing import Annotated, Final, Literal

from fastapi import APIRouter, Query
from fastapi.responses import JSONResponse

from web import series
from web.deps import LedgerDep, SignedInDep
from web.form_values import Answer, amount_read, date_read, grade_read
from web.forms import habits_of
from web.wording import t

router = APIRouter()

Kind = Literal["money", "date", "grade", "title", "number"]
LONGEST: Final = 200
"""Characters of a text that anything is read into; the form says of a longer one that it is too long."""


@router.get("/readings")
def reading(
    ledger: LedgerDep,
    who: SignedInDep,
    kind: Kind,
    text: str,
    title: Annotated[str, Query(alias="issue.title")] = "",
) -> JSONResponse:
    """One sentence, and whether what was typed can be read so."""
    words, habits = text.strip(), habits_of(who.person.preferences, ledger.clock)
    if not words or max(len(words), len(title)) > LONGEST:
        return _said("", is_read=not words)
    if kind == "grade":
        return _said(grade_read(words))
    if kind in ("money", "date"):
        return _answered(amount_read(words, habits) if kind == "money" else date_read(words, habits))
    with ledger.log.read() as reader:
        if kind == "title":
            return _said(series.title_said(reader, words))
        return _said(series.number_said(reader, title, words) if title.strip() else "")


def _answered(answer: Answer) -> JSONResponse:
    if answer.choices:
        ways = f", {t('readings.or')} ".join(words for _, words in answer.choices)
        return _said(t("readings.asked", ways=ways), is_read=False)
    return _said(answer.fault or answer.said, is_read=not answer.fault)


def _said(sentence: str, *, is_read: bool = True) -> JSONResponse:
    return JSONResponse({"sentence": sentence, "read": is_read}, headers={"Cache-Control": "no-store"})

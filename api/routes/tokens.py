"""tokens: what programs sign in with; each has permissions and an end."""

from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from api.answers import placed
from api.bodies import read_body, read_json
from api.deps import LedgerDep, ManagingBodyDep, ManagingDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.schemas import NewToken, TokenAnswer, TokenList
from ledger.actor import Permission
from ledger.ports import StoredToken
from ledger.proof.envelope import moment_text
from ledger.usecases.tokens import DAYS_MOST, issue_token, revoke_token, tokens

router = APIRouter(tags=["tokens"])


class TokenBody(BaseModel):
    """The token that is wanted."""

    model_config = ConfigDict(extra="forbid")

    label: str = Field(
        min_length=1,
        max_length=80,
        pattern=r"^[^\x00-\x1f]*[^\s\x00-\x1f][^\x00-\x1f]*$",
        description="A name you will know it by.",
    )
    permissions: list[Permission] = Field(min_length=1, max_length=len(Permission), description="What it lets through.")
    days: int = Field(ge=1, le=DAYS_MOST, description=f"How long it lasts. Units: days, up to {DAYS_MOST}.")


@router.get(
    "/tokens",
    summary="List tokens",
    response_description="Every token, ended ones too.",
    responses=failures(*EVERYWHERE),
)
def list_tokens(ledger: LedgerDep, actor: ManagingDep) -> TokenList:
    """What each token may do and when it ends; a secret is shown only when its token is made."""
    return TokenList(tokens=[TokenAnswer(**_told(each)) for each in tokens(ledger, actor)])


@router.post(
    "/tokens",
    summary="Make a token",
    status_code=201,
    response_description="The token with its secret, which is shown this once.",
    responses={
        201: {"headers": {"Location": text_header("Where to end it.", "/api/v1/tokens/k3j8h2g4f6d5s3a7b7q2m4x6n5")}},
        **failures(413, 415, 422, *EVERYWHERE),
    },
)
def make_token(
    request: Request,
    response: Response,
    ledger: LedgerDep,
    actor: ManagingDep,
    data: ManagingBodyDep,
) -> NewToken:
    """Give a program only the permissions it needs. A token cannot make one that may do more than itself, or lasts longer."""
    asked = read_body(TokenBody, read_json(data))
    token, secret = issue_token(ledger, actor, label=asked.label, permissions=set(asked.permissions), days=asked.days)
    placed(request, response, f"/tokens/{token.id}")
    return NewToken(**_told(token), secret=secret)


@router.delete(
    "/tokens/{token}",
    summary="End a token",
    status_code=204,
    response_description="It lets nothing through from now on.",
    responses=failures(404, *EVERYWHERE),
)
def end_token(
    ledger: LedgerDep,
    actor: ManagingDep,
    token: Annotated[str, Path(description="Id of the token.", examples=["k3j8h2g4f6d5s3a7b7q2m4x6n5"])],
) -> None:
    """At once, also for what is under way with it elsewhere."""
    revoke_token(ledger, actor, an_id("token", token))


def _told(token: StoredToken) -> dict[str, Any]:
    return {
        "id": token.id,
        "label": token.label,
        "permissions": list(token.scopes),
        "created": moment_text(token.created),
        "expires": moment_text(token.expires),
        "revoked": None if token.revoked is None else moment_text(token.revoked),
    }

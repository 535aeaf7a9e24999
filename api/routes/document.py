"""openapi.json: what this API can do, for programs and people."""

from typing import Any

from fastapi import APIRouter, Request

from api.deps import TO_READERS

router = APIRouter()


@router.get("/openapi.json", include_in_schema=False, dependencies=TO_READERS)
def openapi_document(request: Request) -> dict[str, Any]:
    """The document, with the address at which this API is mounted."""
    mounted = request.scope.get("root_path", "")
    made: dict[str, Any] = request.app.openapi()
    return {**made, "servers": [{"url": mounted or "/", "description": "This server."}]}

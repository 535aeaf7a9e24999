"""What a PDF says, to somebody who looks and to somebody who has it read out."""

import io
import re
from typing import Any

from pypdf import PdfReader

__all__ = ["elements", "opened", "words"]


def opened(data: bytes) -> PdfReader:
    """The file, read strictly."""
    return PdfReader(io.BytesIO(data), strict=True)


def words(text: str) -> str:
    """Letters alone, so that lines may be broken anywhere."""
    return re.sub(r"[\s\u200b\u00ad\u2010-]", "", text)


def elements(reader: PdfReader) -> list[Any]:
    """Every element of the structure tree, in no order."""
    found: list[Any] = []
    waiting: list[Any] = [reader.root_object["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop()
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            waiting += node
        elif isinstance(node, dict):
            found.append(node)
            if "/K" in node:
                waiting.append(node["/K"])
    return found

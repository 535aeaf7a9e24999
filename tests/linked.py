"""Linked Art read by rdflib, a general library, with the published context beside it and nothing from a network."""

import json
import warnings
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from rdflib import Graph, Namespace

__all__ = ["CRM", "LA", "expanded", "unknown_words"]

CRM: Final = Namespace("http://www.cidoc-crm.org/cidoc-crm/")
LA: Final = Namespace("https://linked.art/ns/terms/")
_FILE: Final = Path(__file__).resolve().parent / "vectors/linked_art/linked-art.json"
PUBLISHED: Final[dict[str, Any]] = json.loads(_FILE.read_text("utf-8"))["@context"]
AT: Final = "https://linked.art/ns/v1/linked-art.json"


def expanded(document: Mapping[str, Any]) -> Graph:
    """Its statements."""
    assert document["@context"] == AT
    graph = Graph()
    with warnings.catch_warnings():
        # The reader of this library warns of a class of its own.
        warnings.simplefilter("ignore", DeprecationWarning)
        graph.parse(data=json.dumps({**document, "@context": PUBLISHED}), format="json-ld")
    return graph


def unknown_words(node: Any, known: Mapping[str, Any] = PUBLISHED) -> Iterator[str]:
    """Names and types that the context does not define; a reader would drop them without a word."""
    if isinstance(node, list):
        for each in node:
            yield from unknown_words(each, known)
    elif isinstance(node, dict):
        kind = node.get("type")
        if kind is not None and kind not in known:
            yield f"type {kind}"
        own = {**known, **(known.get(str(kind), {}).get("@context", {}) if kind else {})}
        for name, value in node.items():
            if not name.startswith("@") and name not in own:
                yield name
            yield from unknown_words(value, known)

"""Reads the check values of tests/vectors; SOURCES.md there says where each is from."""

import json
from pathlib import Path
from typing import Any

import pytest

VECTORS = Path(__file__).parents[1] / "vectors"


def load(name: str) -> Any:
    """One file."""
    return json.loads((VECTORS / name).read_text("utf-8"))


def each_in(folder: str) -> list[Any]:
    """Every file of a folder as a case of its own, named by the file."""
    found = sorted((VECTORS / folder).glob("*.json"))
    assert found, folder
    return [pytest.param(load(f"{folder}/{path.name}"), id=path.stem) for path in found]


def each_of(name: str, key: str | None = "cases") -> list[Any]:
    """Every case in a file, named by its `why`."""
    whole = load(name)
    cases = whole[key] if key else whole
    assert cases, name
    return [pytest.param(case, id=case["why"] if isinstance(case, dict) else str(case[:2])) for case in cases]


def hexed(texts: list[str]) -> list[bytes]:
    """Bytes from hexadecimal."""
    return [bytes.fromhex(text) for text in texts]

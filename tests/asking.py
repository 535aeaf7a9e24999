"""Where code asks for a text, as `t(key, …)` or `t.n(key, count, …)`."""

import ast
from collections.abc import Iterator
from pathlib import Path

__all__ = ["texts_asked"]


def texts_asked(path: Path) -> Iterator[tuple[ast.Call, bool]]:
    """Every such call in a file, and whether it asks with a count."""
    for call in ast.walk(ast.parse(path.read_text("utf-8"))):
        match call:
            case ast.Call(func=ast.Name(id="t")):
                yield call, False
            case ast.Call(func=ast.Attribute(value=ast.Name(id="t"), attr="n")):
                yield call, True

"""The bare reference of a page: the framework and the template engine alone, with rows that are there already."""

import gc
import json
import socket
import sys
from typing import Any, Final

import uvicorn
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from jinja2 import Environment

_ROW: Final = {
    "id": "uokimila44e2j2rp74poah67ma",
    "title": "Amber Anchor Adventures",
    "number": "114",
    "printed": "Gorse Hill Press, Sep 1958",
    "cover": "ab" * 32,
    "width": 34.2,
    "height": 50.5,
    "grade": "VF/NM",
    "by": "Grader 3",
    "low": 12,
    "work": "non-additive",
    "where": "Box 3, shelf 2",
    "state": "In a box, raw",
    "written": "2 Jan 2026",
}
_LINE: Final = """<tr>
<td><input type="checkbox" name="book" value="{{ row.id }}" aria-label="{{ row.title }} {{ row.number }}"></td>
<td><img src="/pictures/{{ row.cover }}" width="{{ row.width }}" height="{{ row.height }}" alt=""></td>
<th scope="row"><a href="/books/{{ row.id }}">{{ row.title }} {{ row.number }}</a> {{ row.printed }}</th>
<td>{{ row.grade }} {{ row.by }} <svg width="128" height="16"><rect x="{{ row.low }}" width="3" height="12"/></svg></td>
<td>{{ row.work }}</td><td>{{ row.where }} {{ row.state }}</td><td>{{ row.written }}</td>
</tr>
"""
_PAGE: Final = (
    "<!doctype html><title>{{ title }}</title><table>{% for row in rows %}" + _LINE + "{% endfor %}</table>{{ rest }}"
)
"""A row writes out as many things as one of the collection does; what its markup has more stands behind the table."""


def bare_page(size: int, rows: int) -> FastAPI:
    """An application whose one page has so many rows, each written out anew, and so many bytes."""
    app, template = FastAPI(), Environment(autoescape=True).from_string(_PAGE)
    given: dict[str, Any] = {"title": "Collection", "rows": [_ROW] * rows}
    rest = "x" * (size - len(template.render(given, rest="").encode()))

    @app.get("/")
    def page() -> HTMLResponse:
        return HTMLResponse(template.render(given, rest=rest))

    return app


def serve(size: int, rows: int) -> None:
    """Until it is told to stop; it says first where."""
    bound = socket.socket()
    bound.bind(("127.0.0.1", 0))
    bound.listen()
    sys.stdout.write(json.dumps({"url": f"http://127.0.0.1:{bound.getsockname()[1]}"}) + "\n")
    sys.stdout.flush()
    config = uvicorn.Config(bare_page(size, rows), log_level="warning", access_log=False)
    gc.collect()
    gc.freeze()
    uvicorn.Server(config).run(sockets=[bound])


if __name__ == "__main__":
    serve(*(int(each) for each in sys.argv[1:3]))

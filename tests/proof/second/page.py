"""FORMAT.md section 13: the page made anew, from the blocks of that page and the files beside it."""

import base64
import re
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from tests.proof.second.plain import wrong
from tests.proof.second.record import record_of

FOLDER = Path(__file__).parents[3] / "ledger" / "proof"
TEXT = (FOLDER / "FORMAT.md").read_text("utf-8")
RECORD = '<script type="application/octet-stream" id="record">'
BESIDE = '<script type="application/octet-stream" data-sha="'
IMAGE = re.compile(r'<img data-sha="([0-9a-f]{64})" alt="[^"]*" src="data:image/(?:jpeg|png);base64,([^"]*)">')


def block(name: str) -> str:
    """A block of FORMAT.md under its name."""
    return TEXT.split(f"```{name}\n", 1)[1].split("```\n", 1)[0]


def filled(name: str, **parts: str) -> str:
    """A block with its places filled, none of them twice over."""
    return re.sub(r"\{\{([a-z ]+)\}\}", lambda match: parts[match[1].replace(" ", "_")], block(name))


def escaped(text: str) -> str:
    """Text as it stands in a page."""
    for letter, name in (("&", "amp"), ("<", "lt"), (">", "gt"), ('"', "quot"), ("'", "#x27")):
        text = text.replace(letter, f"&{name};")
    return text


def base64_text(data: bytes) -> str:
    """Standard base64."""
    return base64.b64encode(data).decode()


def taken_from(page: bytes) -> tuple[bytes, dict[str, bytes]]:
    """The record in a page and what lies beside it."""
    text = page.decode("utf-8", "surrogateescape")
    if RECORD not in text:
        wrong("no record in the page")
    beside: dict[str, bytes] = {}
    kept = [part.partition('">') for part in text.split(BESIDE)[1:]]
    found = [*IMAGE.findall(text), *((name, rest.split("<", 1)[0]) for name, _, rest in kept)]
    try:
        for name, inside in found:
            beside.setdefault(name, base64.b64decode(inside, validate=True))
        return base64.b64decode(text.split(RECORD, 1)[1].split("<", 1)[0], validate=True), beside
    except ValueError:
        wrong("no base64 in the page")


def all_earlier(said: Mapping[str, Any], beside: Mapping[str, bytes], found: dict[str, dict[str, Any]]) -> None:
    """Earlier records, each before those that it has in turn, each once."""
    for name in said["earlier"]:
        if name not in found:
            if name not in beside:
                wrong("an earlier record is missing")
            found[name] = record_of(beside[name])
            all_earlier(found[name], beside, found)


def page_of(data: bytes, beside: Mapping[str, bytes]) -> bytes:
    """The page of a record."""
    earlier: dict[str, dict[str, Any]] = {}
    said = record_of(data)
    all_earlier(said, beside, earlier)
    records = [said, *earlier.values()]
    shown = {each["sha256"] for one in records for each in pictures_in(one["sheet"])}
    hidden = sorted({each["sha256"] for one in records for each in one["pictures"]} - shown)
    if any(name not in beside for name in (*shown, *hidden)):
        wrong("a photograph is missing")
    kept = "".join(f'{BESIDE}{name}">{base64_text(beside[name])}</script>\n' for name in (*earlier, *hidden))
    style = (FOLDER / "page" / "style.css").read_text("utf-8")
    names = ("hashes", "ed25519", "record", "page")
    code = "".join((FOLDER / "page" / f"{name}.js").read_text("utf-8") for name in names)
    script = f'(() => {{\n"use strict";\n{code}start(document);\n}})();\n'
    return filled(
        "page",
        title=escaped(said["sheet"]["title"]),
        style=style,
        script=script,
        hash_of_style=base64_text(sha256(style.encode()).digest()),
        hash_of_script=base64_text(sha256(script.encode()).digest()),
        articles="".join(article(one, beside, "earlier" if place else "own") for place, one in enumerate(records)),
        record=base64_text(data),
        kept=kept,
    ).encode()


def pictures_in(sheet: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The blocks that show a photograph."""
    return [each for section in sheet["sections"] for each in section["blocks"] if each["kind"] == "picture"]


def article(said: Mapping[str, Any], beside: Mapping[str, bytes], own: str) -> str:
    """One sheet."""
    sheet = said["sheet"]
    media = {each["sha256"]: each["media"] for each in said["pictures"]}
    sections = ""
    for each in sheet["sections"]:
        blocks = "".join(f"{line}\n" for one in each["blocks"] for line in lines_of(one, beside, media))
        sections += filled("section", title=escaped(each["title"]), blocks=blocks)
    lead, title = escaped(sheet["lead"]), escaped(sheet["title"])
    return filled("article", own_or_earlier=own, title=title, lead=lead, sections=sections)


def lines_of(one: Mapping[str, Any], beside: Mapping[str, bytes], media: Mapping[str, str]) -> list[str]:
    """A block, line by line."""

    def each(name: str, texts: list[str], more: str = "") -> list[str]:
        return [f"<{name}{more} data-s>{escaped(text)}</{name}>" for text in texts]

    caption = f"<figcaption data-s>{escaped(one.get('words', ''))}</figcaption></figure>"
    match one["kind"]:
        case "words":
            return ["<ul>", *each("li", one["lines"]), "</ul>"] if one["listed"] else each("p", one["lines"])
        case "facts":
            rows = [line for name, value in one["rows"] for line in (*each("dt", [name]), *each("dd", [value]))]
            return ["<dl>", *rows, "</dl>"]
        case "table":
            head = "".join(each("th", one["head"], ' scope="col"'))
            rows = [f"<tr>{''.join(each('td', row))}</tr>" for row in one["rows"]]
            top = ['<div class="wide" tabindex="0" role="group">', "<table>", f"<thead><tr>{head}</tr></thead>"]
            return [*top, "<tbody>", *rows, "</tbody>", "</table>", "</div>"]
        case "work":
            heading = one["heading"]
            title = f"<h3>{hatch(heading)}<span data-s>{escaped(heading)}</span></h3>"
            return [title, "<ul>", *each("li", one["lines"]), "</ul>"]
        case "picture":
            name = one["sha256"]
            source = f"data:{media[name]};base64,{base64_text(beside[name])}" if name in media else wrong("not named")
            return [f'<figure><img data-sha="{name}" alt="{escaped(one["words"])}" src="{source}">', caption]
    return [f"<figure>{drawing(one)}", caption]


def hatch(heading: str) -> str:
    """The mark of a heading."""
    box = '<rect x="0.5" y="0.5" width="31" height="17"'
    fill = {"conservation": "light", "restoration": "dense"}.get(heading)
    inside = f'{box} fill="url(#{fill})"/>' if fill else ""
    return f'<svg class="hatch" viewBox="0 0 32 18" aria-hidden="true">{inside}{box}/></svg>'


def more(length: str) -> str:
    """Twelve millimetres more."""
    whole, point, rest = length.partition(".")
    return f"{int(whole) + 12}{point}{rest}"


def drawing(one: Mapping[str, Any]) -> str:
    """The book opened flat."""
    width, height = one["width"], one["height"]
    folds = "".join(f'<path class="sheet-flat" d="M{x} 0V{height}"/>' for x in one["folds"])
    return (
        f'<svg class="map" viewBox="-6 -6 {more(width)} {more(height)}" role="img" aria-label="{escaped(one["words"])}">'
        f'<rect class="sheet-flat" x="0" y="0" width="{width}" height="{height}"/>{folds}'
        f"{''.join(map(spot, one['spots']))}</svg>"
    )


def spot(each: Mapping[str, Any]) -> str:
    """One mark with its number."""
    x, y, to_x, to_y = (each[name] for name in ("x", "y", "to_x", "to_y"))
    kind = "spot" if each["solid"] else "spot dashed"
    drawn = {
        "line": f'<path class="{kind}" d="M{x} {y}L{to_x} {to_y}"/>',
        "area": f'<path class="{kind}" d="M{x} {y}H{to_x}V{to_y}H{x}Z"/>',
        "point": f'<circle class="{kind}" cx="{x}" cy="{y}" r="3"/>',
    }[each["shape"]]
    return f'{drawn}<text x="{x}" y="{y}" dx="4" dy="-2" data-s>{escaped(each["label"])}</text>'

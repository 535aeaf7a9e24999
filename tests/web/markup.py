"""Reads a page as a browser would find it, and says what is wrong with it."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = frozenset({"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})
"""Elements that are never closed. Source: HTML Living Standard, section 13.1.2."""


@dataclass
class Element:
    """One element with what is in it."""

    tag: str
    attrs: dict[str, str]
    children: list["Element | str"] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All words in it, with single spaces."""
        parts = [child.text if isinstance(child, Element) else child for child in self.children]
        return " ".join(" ".join(parts).split())

    def walk(self) -> Iterator["Element"]:
        """Every element below, in the order of the page."""
        for child in self.children:
            if isinstance(child, Element):
                yield child
                yield from child.walk()

    def all(self, tag: str = "", **attrs: str) -> list["Element"]:
        """The elements of that tag with those attributes; underscores stand for hyphens, `class_` asks for one class."""
        one_class = attrs.pop("class_", "")
        wanted = {name.replace("_", "-"): value for name, value in attrs.items()}
        return [
            each
            for each in self.walk()
            if tag in ("", each.tag)
            and all(each.attrs.get(name) == value for name, value in wanted.items())
            and (not one_class or one_class in each.attrs.get("class", "").split())
        ]

    def one(self, tag: str = "", **attrs: str) -> "Element":
        """The only element of that kind."""
        found = self.all(tag, **attrs)
        assert len(found) == 1, f"{len(found)} of {tag} {attrs}"
        return found[0]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = self._add(tag, attrs)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._add(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}> at {self.getpos()}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)

    def _add(self, tag: str, attrs: list[tuple[str, str | None]]) -> Element:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice at {self.getpos()}"
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        return element


def read_page(html: str | bytes) -> Element:
    """The page; every element closed in its turn, every id once, everything pointed at there."""
    reader = _Reader()
    reader.feed(html.decode() if isinstance(html, bytes) else html)
    reader.close()
    assert reader.open == [reader.root], f"<{reader.open[-1].tag}> is not closed"
    elements = list(reader.root.walk())
    ids = [each.attrs["id"] for each in elements if "id" in each.attrs]
    assert len(ids) == len(set(ids)), f"ids twice: {sorted({each for each in ids if ids.count(each) > 1})}"
    for each in elements:
        for name in ("for", "aria-describedby", "aria-labelledby", "aria-controls"):
            lost = set(each.attrs.get(name, "").split()) - set(ids)
            assert not lost, f"<{each.tag} {name}> points at {lost}"
        link = each.attrs.get("href", "")
        assert not link.startswith("#") or link == "#" or link[1:] in ids, f"{link} leads nowhere"
    return reader.root

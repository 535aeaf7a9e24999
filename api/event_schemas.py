"""The schemas of all kinds for OpenAPI, made from KINDS: one per kind, and one choice among them per door."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel, TypeAdapter

from api.amounts import READINGS
from api.bodies import BOOK_KINDS, COLLECTION_KINDS, adapter
from ledger.events import KINDS
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.when import When

Schema = dict[str, Any]

REF = "#/components/schemas/"
COUNTED, EITHER, WRITTEN = "Money", "Amount", "WrittenMoney"

WRITTEN_MONEY: Schema = {
    "type": "object",
    "description": "An amount as people write it. It is counted when it is read; what is kept is the counted form.",
    "additionalProperties": False,
    "required": ["amount", "currency"],
    "properties": {
        "amount": {
            "type": "string",
            "maxLength": 100,
            "description": "The amount, such as 1250.00 or 1.250,00. Where its marks can be read in two ways, say which.",
        },
        "currency": {"type": "string", "pattern": "^[A-Z]{3}$", "description": "ISO 4217 code, active or withdrawn."},
        "reading": {
            "enum": [*READINGS, None],
            "description": "How the marks stand, by the way 1234.50 would be written; needed where there are two ways.",
        },
    },
    "examples": [{"amount": "1.250,00", "currency": "EUR", "reading": "1.234,50"}],
}


def event_components(taken: Mapping[str, Schema], bodies: Sequence[type[BaseModel]] = ()) -> dict[str, Schema]:
    """The schema of every kind and of all its parts; a part that differs from one of that name gets a name of its own.

    `bodies` are told with them: they have such parts too, and amounts in either form.

    Keeps: what is in `taken` stays as it is.
    """
    kinds = [(name, "validation", adapter(name)) for name in sorted(KINDS)]
    kinds += [(each.__name__, "validation", TypeAdapter(each)) for each in bodies]
    tops, whole = TypeAdapter.json_schemas(kinds, ref_template=REF + "{model}")  # type: ignore[arg-type]  # a list of triples
    found: dict[str, Schema] = {name: _hoisted(each) for name, each in whole["$defs"].items()}
    names = {name: _short(name) for name in found}
    for each in sorted(_differing(found, names, taken)):
        names[each] = f"{names[each]}Given"
    made = {names[name]: _renamed(schema, names) for name, schema in found.items()}
    titles = {kind: names[top["$ref"].removeprefix(REF)] for (kind, _), top in tops.items() if kind in KINDS}
    for kind, title in titles.items():
        _tell_kind(made[title], kind)
    made |= {COUNTED: _VALUES[EITHER], WRITTEN: WRITTEN_MONEY, "When": _VALUES["When"], "Grade": _VALUES["Grade"]}
    made[EITHER] = {
        "description": "An amount, counted or as written.",
        "oneOf": [{"$ref": REF + COUNTED}, {"$ref": REF + WRITTEN}],
    }
    made["BookEvent"] = _choice(
        {kind: titles[kind] for kind in sorted(BOOK_KINDS)}, "Something that happened to a book."
    )
    made["CollectionEvent"] = _choice(
        {kind: titles[kind] for kind in sorted(COLLECTION_KINDS)}, "Something about the collection itself."
    )
    return {name: schema for name, schema in made.items() if name not in taken}


def _choice(titles: Mapping[str, str], description: str) -> Schema:
    refs = {kind: REF + title for kind, title in titles.items()}
    return {
        "description": f"{description} The kind says which fields there are.",
        "oneOf": [{"$ref": ref} for ref in refs.values()],
        "discriminator": {"propertyName": "kind", "mapping": refs},
    }


def _tell_kind(schema: Schema, kind: str) -> None:
    """The discriminator stands first, and every sealed field says what a record does with it."""
    told = {"type": "string", "const": kind, "description": "The kind of event."}
    schema["properties"] = {"kind": told, **schema["properties"]}
    schema["required"] = ["kind", *schema.get("required", [])]
    for each in schema["properties"].values():
        if each.pop("sealed", False):
            shown = each.pop("shown", False)
            each["x-sealed"] = "shown" if shown else "closed"
            words = "shown in a record unless you close it" if shown else "closed in a record unless you open it"
            said = each.get("description") or f"{each['title']}."
            each["description"] = f"{said} Sealed: {words}."


def _hoisted(schema: Any) -> Any:  # noqa: ANN401 - JSON schema is plain data
    """Amounts, dates and grades by reference instead of in full; units under a name that says they are ours."""
    if isinstance(schema, list):
        return [_hoisted(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    for name, own in _VALUES.items():
        if all(schema.get(key) == own[key] for key in own.keys() - _WORDS):
            said = {key: schema[key] for key in _WORDS & schema.keys() if schema[key] != own.get(key)}
            kept = {key: schema[key] for key in ("default", "sealed", "shown") if key in schema}
            return {"$ref": REF + name, **said, **kept}
    return {("x-unit" if key == "unit" else key): _hoisted(value) for key, value in schema.items()}


_VALUES = {
    name: TypeAdapter(value).json_schema() for name, value in ((EITHER, Money), ("When", When), ("Grade", Grade))
}
"""Values that many fields take, each told once; a door takes amounts in either form."""

_WORDS = frozenset({"title", "description", "examples"})


def _short(name: str) -> str:
    """A name that two kinds use carries its module: `ledger__events__sale__Means` becomes `SaleMeans`."""
    *module, last = name.split("__")
    return module[-1].strip("_").title().replace("_", "") + last if module else last


def _differing(found: Mapping[str, Schema], names: Mapping[str, str], taken: Mapping[str, Schema]) -> set[str]:
    """Schemas whose name is taken by another one, or that refer to such."""
    differing = {name for name, schema in found.items() if names[name] in taken and taken[names[name]] != schema}
    while True:
        more = {
            name
            for name, schema in found.items()
            if name not in differing and names[name] in taken and any(ref in differing for ref in _refs(schema))
        }
        if not more:
            return differing
        differing |= more


def _refs(schema: Any) -> Iterator[str]:  # noqa: ANN401 - JSON schema is plain data
    if isinstance(schema, list):
        for each in schema:
            yield from _refs(each)
    elif isinstance(schema, dict):
        for key, value in schema.items():
            if key == "$ref" and isinstance(value, str):
                yield value.removeprefix(REF)
            yield from _refs(value)


def _renamed(schema: Any, names: Mapping[str, str]) -> Any:  # noqa: ANN401 - JSON schema is plain data
    if isinstance(schema, list):
        return [_renamed(each, names) for each in schema]
    if not isinstance(schema, dict):
        return schema
    made = {key: _renamed(value, names) for key, value in schema.items()}
    ref = made.get("$ref")
    if isinstance(ref, str):
        own = ref.removeprefix(REF)
        made["$ref"] = REF + names.get(own, own)
    return made

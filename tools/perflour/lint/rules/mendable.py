"""The rules whose results `lint --fix` mends; light, because lint counts them in its summary."""

from __future__ import annotations

MENDABLE = frozenset(
    (
        "listed-out-of-order",
        "range-upside-down",
        "temperature-in-one-scale",
        "waiver-not-needed",
    )
)

"""One change as plain data: the same keys for every kind, whatever its unit."""

from __future__ import annotations

from perflour.diff.change import (
    BlendChange,
    Change,
    Crossing,
    Degrees,
    LineChange,
    MassChange,
    MassShift,
    Minutes,
    PartChange,
    PercentShift,
    RatioChange,
    Scaling,
    StepChange,
    TextChange,
    WindowChange,
    has_figure,
)
from perflour.diff.kinds import kind_of
from perflour.typed import Any

_KEYS = (
    "kind", "part", "part_before", "subject", "subject_before", "importance", "before", "after",
    "delta", "of", "spread", "beyond_spread", "per", "grams_before", "grams_after", "text_before",
    "text_after", "window", "crossing", "rest_unchanged", "shifts", "lines_before", "lines_after",
)  # fmt: skip
# What is left out where it is empty.
_EMPTY: tuple[object, ...] = (None, "", [])


def change_data(change: Change) -> dict[str, Any]:
    """One change as plain data, what it does not have left out."""
    data = {"kind": change.kind, "subject": change.subject, "importance": change.importance}
    data |= _own(change)
    data["of"] = getattr(change, "of", "")
    return {key: value for key in _KEYS if (value := data.get(key)) not in _EMPTY}


def _own(change: Change) -> dict[str, Any]:
    """What only its type has."""
    match change:
        case Scaling():
            return _scaling(change)
        case MassChange():
            return {
                **_moved(change.before_g, change.after_g, change.moved_g, change.spread_g),
                **_place(change),
                "subject_before": change.subject_before,
                "beyond_spread": change.beyond_spread,
                "per": list(change.per),
            }
        case BlendChange():
            return {
                "beyond_spread": change.beyond_spread,
                "shifts": _shifts(change.shifts),
                **_lines(change),
            }
        case LineChange():
            return _line(change)
        case PartChange():
            return _part(change)
        case RatioChange(kind="ratio-unknown"):
            return {
                "before": None if change.lacking_before else change.before_percent,
                "after": None if change.lacking_after else change.after_percent,
                "beyond_spread": True,
                **_texts(change.lacking_before, change.lacking_after),
            }
        case RatioChange():
            return {
                **_moved(
                    change.before_percent,
                    change.after_percent,
                    change.moved_percent,
                    change.spread_percent,
                ),
                "beyond_spread": change.beyond_spread,
                **_texts(change.lacking_before, change.lacking_after),
                **_crossing(change.crossing),
            }
        case WindowChange():
            return {
                **_moved(change.percent, change.percent, 0.0),
                "beyond_spread": True,
                **_crossing(change.crossing),
            }
        case StepChange():
            return _step(change)
        case TextChange():
            real = kind_of(change).moves == "parts"
            return {
                **_place(change),
                "subject_before": change.subject_before,
                "beyond_spread": real or None,
                **_texts(change.text_before, change.text_after),
            }


def _scaling(change: Scaling) -> dict[str, Any]:
    return {
        "part": change.subject,
        "part_before": change.subject_before,
        "subject_before": change.subject_before,
        **_moved(change.before_g, change.after_g, change.factor),
        "beyond_spread": True if change.subject else None,
        "text_after": "ratios unchanged" if change.ratios_unchanged else "",
    }


def _line(change: LineChange) -> dict[str, Any]:
    return {
        **_place(change),
        "subject_before": change.subject_before,
        **_moved(
            change.before_percent, change.after_percent, change.moved_percent, change.spread_percent
        ),
        "beyond_spread": change.beyond_spread,
        "grams_before": change.before_g,
        "grams_after": change.after_g,
        **_texts(change.text_before, change.text_after),
        "shifts": _shifts(change.shifts) or _held(change.by_part),
    }


def _part(change: PartChange) -> dict[str, Any]:
    mass = {"part-removed": "grams_before", "part-added": "grams_after"}.get(change.kind)
    return {
        "part": change.subject,
        "beyond_spread": True,
        **({mass: change.mass_g} if mass else {}),
        "part_before": change.subject_before,
        "subject_before": change.subject_before,
        "rest_unchanged": change.rest_unchanged or None,
        "shifts": _shifts(change.shifts),
        **_lines(change),
    }


def _step(change: StepChange) -> dict[str, Any]:
    figures: dict[str, Any] = {}
    match change.figures:
        case Degrees(before, after) | Minutes(before, after):
            delta = None if before is None or after is None else after - before
            figures = _moved(before, after, delta)
    return {
        **figures,
        "beyond_spread": True if has_figure(change) else None,
        **_texts(change.text_before, change.text_after),
    }


def _moved(
    before: float | None, after: float | None, delta: float | None, spread: float | None = None
) -> dict[str, float | None]:
    return {"before": before, "after": after, "delta": delta, "spread": spread}


def _texts(before: str, after: str) -> dict[str, str]:
    return {"text_before": before, "text_after": after}


def _place(change: MassChange | LineChange | TextChange) -> dict[str, Any]:
    return {"part": change.part, "part_before": change.part_before, **_lines(change)}


def _lines(
    change: MassChange | BlendChange | LineChange | PartChange | TextChange,
) -> dict[str, Any]:
    return {
        "lines_before": [line._asdict() for line in change.lines_before],
        "lines_after": [line._asdict() for line in change.lines_after],
    }


def _shifts(shifts: tuple[PercentShift, ...]) -> list[dict[str, Any]]:
    return [{"name": s.name, "before": s.before_percent, "after": s.after_percent} for s in shifts]


def _held(by_part: tuple[MassShift, ...]) -> list[dict[str, Any]]:
    return [{"name": s.name, "before": s.before_g, "after": s.after_g} for s in by_part]


def _crossing(crossing: Crossing | None) -> dict[str, Any]:
    if crossing is None:
        return {}
    return {
        "window": [crossing.low_percent, crossing.high_percent],
        "crossing": crossing.way,
    }

"""What a record says otherwise than before, and whether it says why: records are evidence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from typing import Any, NamedTuple

#: What a record holds besides what it says: why it was changed, and files that have hashes of their own.
NO_EVIDENCE = ("amended", "photos")


class Otherwise(NamedTuple):
    """One thing that a record says otherwise; ``is_more`` where it only says more than before."""

    text: str
    is_more: bool = False


def said_otherwise(
    before: Mapping[str, Any], after: Mapping[str, Any], left_out: Iterable[str] = NO_EVIDENCE
) -> Iterator[Otherwise]:
    """What a record says otherwise than before, field by field."""
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key), after.get(key)
        if was == now or key in left_out:
            continue
        if was is None or _goes_on(was, now):
            yield Otherwise(f"{key} added" if was is None else f"more {key}", is_more=True)
        elif key == "scores":
            yield Otherwise(_scores(before, after))
        elif isinstance(was, dict) and isinstance(now, dict):
            inner = [f"{name} {_text(was.get(name))} -> {_text(now.get(name))}" for name in dict.fromkeys((*was, *now)) if was.get(name) != now.get(name)]  # fmt: skip
            yield Otherwise(f"{key}: {', '.join(inner)}")
        elif now is None:
            yield Otherwise(f"{key} taken out")
        elif key == "notes" or isinstance(was, dict | list) or isinstance(now, dict | list):
            yield Otherwise(f"{key} changed")
        else:
            yield Otherwise(f"{key} {was} -> {now}")


def _text(value: object) -> str:
    return "nothing" if value is None else str(value)


def _goes_on(was: object, now: object) -> bool:
    """Whether a list or a mapping has all that it had, and more."""
    if isinstance(was, list) and isinstance(now, list):
        return now[: len(was)] == was
    if isinstance(was, dict) and isinstance(now, dict):
        return all(key in now and now[key] == value for key, value in was.items())
    return isinstance(was, str) and isinstance(now, str) and bool(was) and now.startswith(was.rstrip())  # fmt: skip


def _scores(before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    """How scores differ: the means that moved."""
    means: list[dict[str, float]] = [{}, {}]
    with suppress(KeyError, TypeError, ValueError):
        means = [means_of(side) for side in (before, after)]
    moved = [
        f"{name} {mean:.1f} -> {means[1][name]:.1f}"
        for name, mean in means[0].items()
        if name in means[1] and mean != means[1][name]
    ]
    return f"scores changed{': mean ' + ', '.join(moved) if moved else ''}"


def means_of(data: Mapping[str, Any]) -> dict[str, float]:
    """The mean of each attribute that the scores of a record have."""
    given: dict[str, list[float]] = {}
    for row in data.get("scores", ()):
        for name, value in row.items():
            if name not in ("taster", "code"):
                given.setdefault(name, []).append(float(value))
    return {name: sum(values) / len(values) for name, values in given.items()}


def reasons_added(before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    """The reasons that came to a record with a change of it; empty where none did."""
    known = before.get("amended") or ()
    rows = [row for row in after.get("amended") or () if row not in known]
    return "; ".join(str(row.get("because", "")) for row in rows if isinstance(row, dict))

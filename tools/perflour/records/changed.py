"""What a record says otherwise than before, and whether it says why: records are evidence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress

from perflour.tuples import NamedTuple
from perflour.typed import Any

#: What a record holds besides what it says: why it was changed, and files that have hashes of their own.
NO_EVIDENCE = ("amended", "photos")
#: The fields that say which revisions a record is of.
NAMES_REVISIONS = ("of", "samples")
#: More differences of one record are counted.
MOST_TOLD = 4
_DIGEST = re.compile(rb"\b[0-9a-f]{12}\b")


class Otherwise(NamedTuple):
    """One field that says something else; ``is_more`` where it only says more than before."""

    key: str
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
            yield Otherwise(key, f"{key} added" if was is None else f"more {key}", is_more=True)
        elif key == "scores":
            yield Otherwise(key, _scores(before, after))
        elif isinstance(was, dict) and isinstance(now, dict):
            inner = [f"{name} {_text(was.get(name))} -> {_text(now.get(name))}" for name in dict.fromkeys((*was, *now)) if was.get(name) != now.get(name)]  # fmt: skip
            yield Otherwise(key, f"{key}: {', '.join(inner)}")
        elif now is None:
            yield Otherwise(key, f"{key} taken out")
        elif key == "notes" or isinstance(was, dict | list) or isinstance(now, dict | list):
            yield Otherwise(key, f"{key} changed")
        else:
            yield Otherwise(key, f"{key} {was} -> {now}")


def in_words(differences: Sequence[Otherwise]) -> str:
    """The first of them, and how many more there are."""
    more = len(differences) - MOST_TOLD
    told = [one.text for one in differences[:MOST_TOLD]]
    return "; ".join([*told, *([f"{more} more"] if more > 0 else [])])


def digests_named(content: bytes) -> Iterator[str]:
    """All in the text of a record that may be digests."""
    return (found.decode() for found in _DIGEST.findall(content))


def with_digests_of_today(content: bytes, today: Mapping[str, str]) -> bytes:
    """The text of a record with each digest of ``today`` in place of the one that it had before."""
    if not today:
        return content
    return _DIGEST.sub(
        lambda found: today.get(found[0].decode(), found[0].decode()).encode(), content
    )


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

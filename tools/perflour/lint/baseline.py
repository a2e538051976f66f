"""Known results: adopting lint on an old repository without mending everything first.

A baseline records what was found on one day. Later runs leave known results out and report new ones.
A result is known by path, rule, subject and message, numbers left out, so that lines may move and
figures drift; how many of a kind are known counts too.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from perflour.result import CannotRun, Result, request_field
from perflour.system.opening import read
from perflour.system.writing import write_file
from perflour.typed import Any

Key = tuple[str, str, str, str]
_FIELDS = ("path", "rule", "subject", "message")


def write_baseline(path: Path, results: Sequence[Result]) -> None:
    """Record results. Raises CannotRun where the file cannot be written."""
    rows = [
        {**dict(zip(_FIELDS, key, strict=True)), "count": n}
        for key, n in sorted(Counter(map(known_by, results)).items())
    ]
    text = json.dumps({"known": rows}, ensure_ascii=False, indent=2) + "\n"
    try:
        write_file(path, text.encode())
    except OSError as error:
        raise CannotRun(f"{path}: cannot be written ({error.strerror}); check the folder") from None


def without_known(path: Path, results: Sequence[Result]) -> tuple[Result, ...]:
    """The results that are not in the baseline. Raises CannotRun for a file that is none."""
    return _left_over(_read(path), _keyed(results))


def results_not_in(known: Iterable[Result], results: Iterable[Result]) -> tuple[Result, ...]:
    """The results that are not among others, lines and figures left out of account."""
    return _left_over(Counter(map(known_by, known)), _keyed(results))


def results_of_one_side(
    before: Iterable[Result], after: Iterable[Result]
) -> tuple[tuple[Result, ...], tuple[Result, ...]]:
    """Of two runs the results that the other has not, in the same sense: those that went, those that came."""
    sides = _keyed(before), _keyed(after)
    counted = [Counter(key for key, _ in side) for side in sides]
    return _left_over(counted[1], sides[0]), _left_over(counted[0], sides[1])


def _keyed(results: Iterable[Result]) -> list[tuple[Key, Result]]:
    return [(known_by(result), result) for result in results]


def _left_over(known: Counter[Key], results: Iterable[tuple[Key, Result]]) -> tuple[Result, ...]:
    new: list[Result] = []
    for key, result in results:
        if known[key] > 0:
            known[key] -= 1
        else:
            new.append(result)
    return tuple(new)


def _read(path: Path) -> Counter[Key]:
    try:
        data: Any = json.loads(read(str(path)))
        rows = data["known"]
        return Counter(
            {(r["path"], r["rule"], r["subject"], r["message"]): int(r["count"]) for r in rows}
        )
    except OSError as error:
        raise CannotRun(
            f"{path}: cannot be read ({error.strerror}); write it with {request_field('write_baseline')}"
        ) from None
    except (ValueError, KeyError, TypeError):
        raise CannotRun(
            f"{path}: is no baseline; write it with {request_field('write_baseline')}"
        ) from None


def known_by(result: Result) -> Key:
    """Path, rule, subject and message, numbers left out."""
    message = result.message
    if message.isascii():
        message = re.sub("[0-9]+", "0", message)
    else:  # digits of other scripts and raised ones, too
        message = re.sub("0+", "0", "".join("0" if c.isdigit() else c for c in message))
    return (result.place.path, result.rule, result.subject, message)

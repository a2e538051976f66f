"""Lint results as text, JSON and SARIF 2.1.0."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from perflour import __version__
from perflour.result import LEVELS, Result, one_line

SARIF_SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)


class Described(NamedTuple):
    """A rule as reporters need it: id, one line, whole text, default level, source."""

    id: str
    headline: str
    text: str
    level: str
    source: str


def results_text(results: Sequence[Result], files: int) -> str:
    """One line a result, then a summary."""
    lines = [f"{r.place}: {r.level}: {one_line(r.message)} [{r.rule}]" for r in results]
    return "\n".join([*lines, _summary(results, files)]) + "\n"


def _summary(results: Sequence[Result], files: int) -> str:
    read = f"{files} file{'s' if files != 1 else ''} read"
    if not results:
        return f"{read}, nothing found"
    count = Counter(result.level for result in results)
    levels = ", ".join(
        f"{count[level]} {level}{'s' if count[level] != 1 else ''}"
        for level in LEVELS
        if count[level]
    )
    return f"{read}: {levels} in {len({r.place.path for r in results})}"


def results_json(results: Sequence[Result], files: int) -> str:
    """Results with the number of files read."""
    rows = [
        {
            "rule": r.rule,
            "level": r.level,
            "message": r.message,
            "path": r.place.path,
            "line": r.place.line,
            "column": r.place.column,
            "subject": r.subject or None,
        }
        for r in results
    ]
    return json.dumps({"files": files, "results": rows}, ensure_ascii=False, indent=2) + "\n"


def results_sarif(results: Sequence[Result], rules: Iterable[Described]) -> str:
    """A SARIF 2.1.0 log of one run (OASIS standard)."""
    described = list(rules)
    index = {rule.id: at for at, rule in enumerate(described)}
    driver = {
        "name": "perflour",
        "version": __version__,
        "rules": [_sarif_rule(rule) for rule in described],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_sarif_result(r, index) for r in results],
    }
    log = {"$schema": SARIF_SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(log, ensure_ascii=False, indent=2) + "\n"


def _sarif_rule(rule: Described) -> dict[str, Any]:
    return {
        "id": rule.id,
        "shortDescription": {"text": rule.headline},
        "fullDescription": {"text": rule.text},
        "defaultConfiguration": {"level": rule.level},
        "properties": {"source": rule.source},
    }


def _sarif_result(result: Result, index: dict[str, int]) -> dict[str, Any]:
    from urllib.parse import quote

    region = {"startLine": result.place.line, "startColumn": result.place.column}
    location = {"artifactLocation": {"uri": quote(result.place.path)}, "region": region}
    return {
        "ruleId": result.rule,
        "ruleIndex": index[result.rule],
        "level": result.level,
        "message": {"text": result.message},
        "locations": [{"physicalLocation": location}],
    }

"""Lint results as a SARIF 2.1.0 log (OASIS standard), for hosts and editors that show such logs."""

from __future__ import annotations

import hashlib
import os
from collections import Counter
from collections.abc import Container, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from perflour import __version__
from perflour.lint.baseline import known_by
from perflour.lint.places import Places
from perflour.lint.rules.described import Described, described_rules
from perflour.report.form.json_text import json_text
from perflour.report.rules import rule_page, rule_text
from perflour.result import Result
from perflour.system.opening import STANDARD_INPUT

if TYPE_CHECKING:
    from perflour.lint.run import Checked

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
#: What paths are relative to: the top of the repository, or the working folder outside of one.
BASE = "REPOSITORY"
#: By this a host knows a result again when lines moved; a new way of counting takes a new number.
FINGERPRINT = "perflourResult/v1"
_DIGITS = 32


def checked_sarif(checked: Checked, _: Container[str] = (), __: bool = True) -> str:
    """One run with all rules described; ``checked.places`` says where results end and rules have pages."""
    places = checked.places or Places(os.getcwd())
    rules = described_rules()
    index = {rule.id: at for at, rule in enumerate(rules)}
    uris = [_artifact(result.place.path, places.base) for result in checked.results]
    marks = _fingerprints(checked.results, [uri["uri"] for uri in uris])
    driver = {
        "name": "perflour",
        "version": __version__,
        "rules": [_rule(rule, places.pages) for rule in rules],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {BASE: _base(places.base)},
        "results": [
            {
                "ruleId": result.rule,
                "ruleIndex": index[result.rule],
                "level": result.level,
                "message": {"text": result.message},
                "locations": [
                    {"physicalLocation": {"artifactLocation": uri, "region": _region(result, places)}}
                ],
                "partialFingerprints": {FINGERPRINT: mark},
            }
            for result, uri, mark in zip(checked.results, uris, marks, strict=True)
        ],
    }  # fmt: skip
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json_text(log) + "\n"


def _rule(rule: Described, pages: str) -> dict[str, Any]:
    """A rule; its page is told where the house says the address: SARIF takes no relative one."""
    return {
        "id": rule.id,
        "shortDescription": {"text": rule.headline},
        "fullDescription": {"text": rule.text},
        "help": {"text": rule_text(rule)},
        **({"helpUri": pages + rule_page(rule.id)} if pages else {}),
        "defaultConfiguration": {"level": rule.level},
        "properties": {"source": rule.source},
    }


def _base(folder: str) -> dict[str, Any]:
    """The folder as an address that ends with a slash, as the standard asks."""
    text = "the top of the repository, or the folder lint ran in outside of one"
    return {"uri": f"{_as_uri(folder).rstrip('/')}/", "description": {"text": text}}


def _artifact(path: str, base: str) -> dict[str, Any]:
    """A file below the base by its path from there, another one by its whole address."""
    from urllib.parse import quote

    if path == STANDARD_INPUT:
        return {"uri": quote(path), "description": {"text": "standard input"}}
    absolute = os.path.abspath(path)
    top = base.rstrip(os.sep) + os.sep
    if not absolute.startswith(top):
        return {"uri": _as_uri(absolute)}
    relative = absolute.removeprefix(top).replace(os.sep, "/")
    return {"uri": quote(os.fsencode(relative)), "uriBaseId": BASE}


def _as_uri(absolute: str) -> str:
    from pathlib import Path

    return Path(absolute).as_uri()


def _region(result: Result, places: Places) -> dict[str, int]:
    """From the first sign to behind the last; of no length where the end is not known."""
    _, line, column = result.place
    end = places.ends.get(result.place)
    return {
        "startLine": line,
        "startColumn": column,
        "endLine": end.line if end else line,
        "endColumn": end.column if end else column,
    }


def _fingerprints(results: Sequence[Result], uris: Sequence[str]) -> Iterator[str]:
    """By what a baseline knows a result too: file, rule, subject, message without figures, and which of several."""
    seen: Counter[tuple[str, ...]] = Counter()
    for result, uri in zip(results, uris, strict=True):
        key = (uri, *known_by(result)[1:])
        seen[key] += 1
        said = "\0".join((*key, str(seen[key])))
        yield hashlib.sha256(said.encode("utf-8", "surrogateescape")).hexdigest()[:_DIGITS]

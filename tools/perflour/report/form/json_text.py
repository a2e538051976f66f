"""Plain data as indented JSON: the signs of ``json.dumps``, which writes it without its compiled part, in half the time.

docs/performance.md has the figures.
"""

import json
from collections.abc import Callable
from json.encoder import encode_basestring
from math import isfinite

from perflour.typed import Any

Otherwise = Callable[[Any], str]


def json_text(data: object, otherwise: Otherwise | None = None) -> str:
    """As ``json.dumps`` with ``indent=2`` and all scripts as they are; ``otherwise`` tells what JSON has no form for."""
    return _told(data, "\n", otherwise)


def _told(value: object, line: str, otherwise: Otherwise | None) -> str:
    """A value whose last line begins as ``line`` does."""
    inner = f"{line}  "
    if isinstance(value, dict):
        rows = [
            f"{encode_basestring(key) if type(key) is str else _name(key)}: "
            f"{_SIMPLE[type(one)](one) if type(one) in _SIMPLE else _told(one, inner, otherwise)}"
            for key, one in value.items()
        ]
        return f"{{{inner}{f',{inner}'.join(rows)}{line}}}" if rows else "{}"
    if isinstance(value, list | tuple):
        rows = [_told(one, inner, otherwise) for one in value]
        return f"[{inner}{f',{inner}'.join(rows)}{line}]" if rows else "[]"
    if type(value) in _SIMPLE:
        return _SIMPLE[type(value)](value)
    return json.dumps(value, ensure_ascii=False, default=otherwise)


def _name(key: object) -> str:
    """A key that is no plain text, as json tells it."""
    return json.dumps({key: 0}, ensure_ascii=False)[1:-4]


def _number(value: float) -> str:
    return float.__repr__(value) if isfinite(value) else json.dumps(value)


_SIMPLE: dict[type, Callable[[Any], str]] = {
    str: encode_basestring,
    float: _number,
    int: int.__repr__,
    bool: {True: "true", False: "false"}.__getitem__,
    type(None): {None: "null"}.__getitem__,
}

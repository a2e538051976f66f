"""YAML as a terminal or a log may have it: the same data, and no sign that acts or hides."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from perflour.plain import is_printable, one_line, printable, yaml_quoted

# Line ends to YAML, though not to us: what follows one is no comment any more.
_LINE_ENDS = str.maketrans(dict.fromkeys("\r\x85\u2028\u2029", "\n"))


def on_screen(text: str) -> str:
    """The YAML of the same data, its texts in double quotes where they would act on what shows them.

    Comments, which are no data, show an escape in place of such a sign.
    """
    return text if is_printable(text) else "".join(_pieces(text))


def _pieces(text: str) -> Iterator[str]:
    import yaml

    at = 0
    tokens: Iterator[Any] = iter(yaml.scan(text, Loader=yaml.CSafeLoader))
    for token in tokens:
        if isinstance(token, yaml.ScalarToken):
            start, end = token.start_mark.index, token.end_mark.index
            yield _between(text[at:start])
            yield _scalar(text[start:end], token.value)
            at = end
    yield _between(text[at:])


def _scalar(written: str, value: str) -> str:
    if is_printable(written):
        return written
    return yaml_quoted(value) + ("\n" if written.endswith(tuple("\n\r\x85\u2028\u2029")) else "")


def _between(text: str) -> str:
    """Comments and signs of YAML, on the lines that they have to YAML."""
    lines = text.replace("\r\n", "\n").translate(_LINE_ENDS).split("\n")
    return printable("\n".join(map(one_line, lines)))

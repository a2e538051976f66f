"""Text that others wrote, safe for where it is printed: terminal, log, Markdown, HTML, CSV, JSON, YAML.

A sign that would act or hide is shown by its escape, as in `\\x1b`, and never dropped; all other signs of
all scripts stay. Patterns are compiled where a text needs them, which most do not: docs/performance.md.
"""

import re
from collections.abc import Iterable

# Controls, line ends that are none to us, turns of direction, halves of pairs, signs that no XML may hold.
_CONTROL = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff"
# What acts on a terminal or on the order of reading. None of it is printable to Python.
_ACTING = rf"\t\r\u061c\u200e\u200f{_CONTROL}"
# What is not seen at all. Selectors of a variant, which emoji and Han names need, are left.
_UNSEEN = (
    "\xad\u034f\u115f\u1160\u17b4\u17b5\u180e\u200b\u2060-\u2065\u206a-\u206f\u3164\ufeff\uffa0"
    "\ufff0-\ufffb\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e007f"
)
# Those of them that Python calls printable.
_UNSEEN_PRINTABLE = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0")
# Scripts from Hebrew on and emoji: the joiners stay between two of their signs, which they shape.
_JOINED = "[\u0590-\u1fff\u2070-\ufefe\uff00-\uffef\U00010000-\U000dffff]"
_JOINER = f"(?<!{_JOINED})[\u200c\u200d]|[\u200c\u200d](?!{_JOINED})"

# A form feed on a line of its own stays: our sheets for the printer hold them.
_OUR_PAGE = "(?!(?<=\n)\x0c\n)"
_IN_TEXT = f"[{_ACTING}{_UNSEEN}]|{_JOINER}"
_IN_REPORT = f"{_OUR_PAGE}(?:{_IN_TEXT})"
_IN_NAME = f"[\n{_ACTING}{_UNSEEN}]|{_JOINER}"
_PLAIN = b"\n" + bytes(range(0x20, 0x7F))
# What a CI runner takes for a command: a line that begins with `::`, indented or not; `##[` anywhere.
_COMMAND = r"(?m)^[^\S\n]*:(?=:)|##(?=\w*\[)"


def control(text: str) -> re.Match[str] | None:
    """The first sign that no file of ours may hold: it acts, and no script needs it."""
    return None if text.isprintable() else re.search(f"[{_CONTROL}]", text)


def visible(text: str) -> str:
    """Text with every sign that acts or hides as its escape, line ends too: names of files, errors."""
    if _is_seen(text):
        return text
    return re.sub(_IN_NAME, _escape, text)


def one_line(text: str) -> str:
    """The same of a text that may have several lines: a line feed and a tab become a blank."""
    if _is_seen(text):
        return text
    return re.sub(_IN_TEXT, _escape, text.replace("\n", " ").replace("\t", " "))


def _is_seen(text: str) -> bool:
    """Whether every sign is seen and acts on nothing, found without a pattern."""
    return text.isprintable() and (text.isascii() or _UNSEEN_PRINTABLE.isdisjoint(text))


def printable(report: str) -> str:
    """A whole report for a terminal or a log: only line ends act, and no line is a command to CI."""
    if _may_act(report):
        report = re.sub(_IN_REPORT, _escape, report)
    if _may_command(report):
        report = re.sub(_COMMAND, lambda found: _told(found, r"\x3a", r"\x23"), report)
    return report


def with_blanks(text: str) -> str:
    """Text of another's file with a blank for each sign that does not print, a tab or a line end too."""
    return text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)


def is_printable(text: str) -> bool:
    """Whether a terminal and a log may have the text as it is."""
    acts = _may_act(text) and re.search(_IN_REPORT, text)
    return not (acts or (_may_command(text) and re.search(_COMMAND, text)))


def _may_act(text: str) -> bool:
    # the signs of ASCII that print are most of a text, and taken out at once
    left = text.encode("utf-8", "surrogatepass").translate(None, _PLAIN)
    return not left.decode("utf-8", "surrogatepass").isprintable()


def _may_command(text: str) -> bool:
    return "::" in text or ("##" in text and "[" in text)


def _told(command: re.Match[str], colon: str, hash_sign: str) -> str:
    """A command with one of its signs written so that it is none."""
    return f"#{hash_sign}" if command[0] == "##" else f"{command[0][:-1]}{colon}"


def _escape(sign: re.Match[str]) -> str:
    number = ord(sign[0])
    if 0xDC80 <= number <= 0xDCFF:  # a byte of a name that is not UTF-8
        return _by_number(number - 0xDC00)
    return {9: "\\t", 10: "\\n", 13: "\\r"}.get(number) or _by_number(number)


def _by_number(number: int) -> str:
    if number < 0x100:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


# --- Markdown ---

#: Seen by nobody, and no name, number or address goes on behind it. ASCII, so that it is seen in the file.
_BREAK = "&#8203;"
# What hosts make a link or call somebody by, wherever it stands: no backslash keeps them from it.
_CALLS = r"(?i)@(?=\S)|#(?=\w)|!(?=\d)|:(?=//)|\bwww(?=\.)|\b(?:mailto|xmpp):|\bGH-(?=\d)"
_MARKUP = rf"{_CALLS}|[\\`*_<>\[\]|~]|&(?=#|\w)"
# What a backslash keeps from meaning anything; it stands first, since it marks the others.
_ESCAPED = "\\`*_<>[]~|"
# Without any of these a text, in small letters, has nothing else to mark. No i: some alphabets have another.
_BESIDE = ("@", "#", "!", "&", "://", "www", "lto:", "mpp:", "gh-")
# At its start: a heading, an item, a line under a heading or a table's. Four blanks would make code of it.
_BLOCK = r" {0,3}(?:\d{1,9}(?=[.)](?:\s|$))|(?=(?:#{1,6}|[-+])(?:\s|$)|[-=:][-=:\s]*$))"


def markdown(text: str) -> str:
    """Text that Markdown shows as it is, in a paragraph, an item, a heading or a cell, on one line."""
    text = one_line(text)
    if text.startswith("    "):
        text = re.sub("^ {4,}", "   ", text)
    lower = text.lower()
    if True in [sign in lower for sign in _BESIDE]:
        text = re.sub(_MARKUP, _marked, text)
    else:
        for sign in _ESCAPED:
            if sign in text:
                text = text.replace(sign, f"\\{sign}")
    if "#" in text:
        text = re.sub(r"#(?=\s*$)", r"\\#", text)  # it would close a heading
    if text[:1].isalpha():
        return text
    block = re.match(_BLOCK, text)
    return f"{block[0]}\\{text[block.end() :]}" if block else text


def markdown_in_html(text: str) -> str:
    """The same inside an HTML element of a Markdown page, where a backslash would be shown."""
    text = one_line(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return re.sub(_CALLS, rf"\g<0>{_BREAK}", text)


def _marked(sign: re.Match[str]) -> str:
    is_escaped = sign[0] in _ESCAPED or sign[0] == "&"
    return f"\\{sign[0]}" if is_escaped else f"{sign[0]}{_BREAK}"


# --- pages and data ---

# Our templates bind words by it (report/form/signs.py).
_WORD_JOINER = "\u2060"


def html_text(text: str) -> str:
    """Text of a page before its signs of HTML are escaped; line ends and our own word joiner stay."""
    lines = (
        _WORD_JOINER.join(map(one_line, line.split(_WORD_JOINER))) for line in text.split("\n")
    )
    return "\n".join(lines)


def html_page_safe(page: str) -> str:
    """A whole page or drawing: no sign that XML forbids, no line that is a command to CI."""
    page = re.sub(f"{_OUR_PAGE}[{_ACTING}]", _escape, page) if _may_act(page) else page
    return re.sub(_COMMAND, lambda found: _told(found, "&#58;", "&#35;"), page)


def json_safe(text: str) -> str:
    """JSON that reads to the same values, with what would act or hide as JSON's own escapes."""
    if "##" not in text and not _may_act(text) and not any(s in text for s in _UNSEEN_PRINTABLE):
        return text  # a tenth of what the pattern takes: docs/performance.md
    return re.sub(rf"{_IN_TEXT}|#(?=#\w*\[)", _json_escape, text)


def _json_escape(sign: re.Match[str]) -> str:
    units = sign[0].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))


def yaml_quoted(text: str) -> str:
    """A text as a double-quoted scalar of YAML, which reads back to the same text."""
    import json

    quoted = json.dumps(text, ensure_ascii=False)
    return re.sub(rf"{_IN_NAME}|#(?=#\w*\[)", lambda sign: _by_number(ord(sign[0])), quoted)


# What a spreadsheet computes; some take the wide forms for the same.
_COMPUTES = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    """Rows to CSV, a line each; None is an empty cell. No text is computed by a spreadsheet."""
    import csv
    import io

    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([*map(_cell, row)] for row in rows)
    return text.getvalue()


def _cell(value: object) -> object:
    """A text that begins like a computation gets an apostrophe in front; numbers stay numbers."""
    if not isinstance(value, str):
        return value
    text = one_line(value)
    return f"'{text}" if is_computed(text) else text


def is_computed(text: str) -> bool:
    """Whether a spreadsheet may take a text for a computation."""
    return text.lstrip().startswith(_COMPUTES)

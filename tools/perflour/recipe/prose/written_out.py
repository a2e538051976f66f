"""Running text with pieces of it written otherwise, each place kept: short forms in full, foods by their bare names."""

from __future__ import annotations

import re
from collections.abc import Iterable

from perflour.recipe.method.steps import Paragraph
from perflour.recipe.words import word_map
from perflour.result import Place

_FORMS = "|".join(map(re.escape, sorted(word_map("short-forms-of-cards"), key=len, reverse=True)))
#: Any short form of cards that means but one thing.
_SHORT_FORM = re.compile(rf"(?<![\w&'’.])(?:{_FORMS})(?:(?<=/) ?|(?<=&)|(?!\w))", re.IGNORECASE)

#: ".5 cup", which would be read as 5 behind a full stop.
_POINT_FIRST = re.compile(r"(?<![\w.,/])\.(?=[0-9])")


def with_replaced(paragraph: Paragraph, spans: Iterable[tuple[int, int, str]]) -> Paragraph:
    """The paragraph with other words for the pieces from one offset to another; what overlaps stays as it is."""
    pieces: list[str] = []
    starts: list[tuple[int, Place]] = []
    at = length = 0
    bounds = [offset for offset, _ in paragraph.starts]

    def keep(first: int, last: int) -> None:
        nonlocal length
        begins = (first, *(bound for bound in bounds if first < bound < last))
        starts.extend((length + begin - first, paragraph.place(begin)) for begin in begins)
        pieces.append(paragraph.text[first:last])
        length += last - first

    for start, end, said in spans:
        if start < at:
            continue
        keep(at, start)
        starts.append((length, paragraph.place(start)))
        pieces.append(said)
        length += len(said)
        at = end
    keep(at, len(paragraph.text))
    return Paragraph("".join(pieces), tuple(starts))


def written_out(paragraph: Paragraph) -> Paragraph:
    """The paragraph with the short forms of cards in full: "tog." as together, "w/" as with, ".5" as 0.5."""
    text = paragraph.text
    spans = [(match.start(), match.end(), "0.") for match in _POINT_FIRST.finditer(text)]
    for match in _SHORT_FORM.finditer(text):
        short = match[0].strip().lower()
        said = str(word_map("short-forms-of-cards")[short])
        if match[0].endswith(" ") or short.endswith("/"):
            said += " "
        elif short.endswith(".") and _ends_sentence(text, match.end()):
            said += "."
        if match[0][:1].isupper():
            said = said[:1].upper() + said[1:]
        spans.append((match.start(), match.end(), said))
    return with_replaced(paragraph, sorted(spans)) if spans else paragraph


def _ends_sentence(text: str, at: int) -> bool:
    """Whether the point of a short form ends a sentence as well: nothing follows, or a capital."""
    following = text[at : at + 3].lstrip()
    return not following or following[0].isupper()

"""A language that readers read: what a kitchen works with and does, by the words of formula files; data/languages/.

Formula files are English, so English needs none of this and nothing is loaded for it.
"""

import re
from collections.abc import Mapping
from typing import Any

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

FOLDER = "languages"
ENGLISH = "en"
#: What books can be in, each by its two letters.
LANGUAGES = (ENGLISH, "de")
GENDERS = frozenset("mfnp")
_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")


class Noun(NamedTuple):
    """A name with its gender (m, f, n; p is a plural, empty is not known) and its plural where it is counted."""

    name: str
    gender: str = ""
    several: str = ""


class Verb(NamedTuple):
    """What a step does; ``into`` where it goes into a mixture, ``alone`` where nothing is named."""

    says: str
    into: str = ""
    alone: str = ""


class Figures(NamedTuple):
    """The signs of numbers."""

    decimal: str = "."
    thousands: str = ","

    def __call__(self, text: str) -> str:
        """A text of ours with its numbers in these signs."""
        text = _THOUSANDS.sub("\0", text)
        return _POINT.sub(self.decimal, text).replace("\0", self.thousands)


_Nouns = Mapping[str, Noun]
_Texts = Mapping[str, str]


class Language(NamedTuple):
    """Everything by the folded words of formula files; allergens and cautions by their ids.

    ``language`` is its two letters, ``called`` its name in English; ``said`` are words that stand for themselves in what is read: about, overnight.
    """

    language: str
    called: str
    figures: Figures
    allergens: Mapping[str, _Texts]
    cautions: _Texts
    foods: _Nouns
    parts: _Nouns
    pieces: _Nouns
    vessels: _Nouns
    verbs: Mapping[str, Verb]
    states: _Texts
    tools: _Texts
    made_ready: _Texts
    speeds: _Texts
    said: _Texts


class LanguageProblem(ValueError):
    """What in a file of a language is wrong."""


def language(code: str) -> Language:
    """One of LANGUAGES but English."""
    return shipped(f"{FOLDER}/{code}.yaml", read_language)


def figures_of(code: str) -> Figures:
    """The signs of numbers in any language."""
    return Figures() if code == ENGLISH else language(code).figures


def read_language(content: bytes) -> Language:
    """The language in a file. Raises LanguageProblem where a section or an entry is not as it must be."""
    data: dict[str, Any] = dict(read_document(content, FOLDER).data)
    keys = {name.replace("_", "-"): name for name in Language._fields}
    if wrong := sorted(data.keys() ^ keys.keys()):
        raise LanguageProblem(f"sections that are not there, or of no use: {', '.join(wrong)}")
    return Language(**{name: _section(key, data[key]) for key, name in keys.items()})


def _section(name: str, said: Any) -> Any:
    if name in ("language", "called"):
        return _text(name, said)
    if name == "figures":
        return Figures(**said)
    if name == "allergens":
        return {law: {id: _text(id, text) for id, text in names.items()} for law, names in said.items()}  # fmt: skip
    read = _KINDS.get(name, _text)
    return {fold(word): read(word, entry) for word, entry in said.items()}


def _noun(word: str, said: Any) -> Noun:
    if not isinstance(said, list) or not 2 <= len(said) <= 3 or said[1] not in GENDERS:
        raise LanguageProblem(
            f"'{word}' wants [name, gender], or [name, gender, plural], not {said}"
        )
    return Noun(*(_text(word, part) for part in said))


def _verb(word: str, said: Any) -> Verb:
    if not isinstance(said, dict):
        return Verb(_text(word, said))
    if "says" not in said or not said.keys() <= {"says", "into", "alone"}:
        raise LanguageProblem(f"'{word}' wants `says`, and may have `into` and `alone`, not {said}")
    return Verb(**{key: _text(word, text) for key, text in said.items()})


def _text(word: str, said: Any) -> str:
    if not isinstance(said, str) or not said.strip():
        raise LanguageProblem(f"'{word}' wants a text, not {said}")
    return said


_KINDS = dict.fromkeys(("foods", "parts", "pieces", "vessels"), _noun) | {"verbs": _verb}

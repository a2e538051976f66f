"""The little German that sentences from formulas need: cases, articles, what was done to a pan."""

from __future__ import annotations

import re

from perflour.balance.balance import Hundred
from perflour.kitchen.language import Noun

#: Endings of a word of how it is, by gender: without an article, behind "ein", behind "der".
_BARE = {"accusative": {"m": "en", "f": "e", "n": "es", "p": "e"}, "dative": {"m": "em", "f": "er", "n": "em", "p": "en"}}  # fmt: skip
_BEHIND_ONE = {"accusative": {"m": "en", "f": "e", "n": "es", "p": "e"}, "dative": dict.fromkeys("mfnp", "en")}  # fmt: skip
_BEHIND_THE = {"genitive": dict.fromkeys("mfnp", "en"), "accusative": {"m": "en", "f": "e", "n": "e", "p": "en"}, "dative": dict.fromkeys("mfnp", "en")}  # fmt: skip
_ONE = {"accusative": {"m": "einen", "f": "eine", "n": "ein", "p": ""}, "dative": {"m": "einem", "f": "einer", "n": "einem", "p": ""}}  # fmt: skip
_THE = {"accusative": {"m": "den", "f": "die", "n": "das", "p": "die"}, "dative": {"m": "dem", "f": "der", "n": "dem", "p": "den"}}  # fmt: skip
_OF_THE = {"m": "vom", "f": "der", "n": "vom", "p": "der"}
_IN_THE = {"m": "im", "f": "in der", "n": "im", "p": "in den"}
_REST = {"m": "restlichen", "f": "restliche", "n": "restliches", "p": "restliche"}
# Words of how it is stand before their noun in small letters; those with an ending are bent.
_BEFORE = re.compile(r"(?:[a-zäöüß]\S* )+(?=[A-ZÄÖÜ])")
_BENT = re.compile(r"(?:er|es|en|em|e)$")
_HEAD = re.compile(r"[A-ZÄÖÜ][\w-]*")
ACCUSATIVE, DATIVE, _GENITIVE = "accusative", "dative", "genitive"


def bare(noun: Noun, case: str) -> str:
    """Without an article: ``braunen Zucker`` rühren, mit ``braunem Zucker``."""
    return _said(noun, case, _BARE)


def one(noun: Noun, case: str, made_ready: str = "") -> str:
    """``eine gefettete Kastenform``; several without an article. ``made_ready`` has no ending yet."""
    several = noun.gender == "p"
    ready = _bent(made_ready, (_BARE if several else _BEHIND_ONE)[case][noun.gender])
    said = _said(noun, case, _BARE if several else _BEHIND_ONE)
    return " ".join(filter(None, (_ONE[case][noun.gender], ready, said)))


def the(noun: Noun, case: str, count: str = "", made_ready: str = "") -> str:
    """``die Kastenform``, ``die 2 gefetteten Kastenformen``; without a gender as it is."""
    if not noun.gender:
        return noun.name
    ready = _bent(made_ready, _BEHIND_THE[case][noun.gender])
    words = (_THE[case][noun.gender], count, ready, _said(noun, case, _BEHIND_THE))
    return " ".join(filter(None, words))


def of_the(noun: Noun) -> str:
    """``vom Mehl``, ``der Butter``, ``der Walnüsse``."""
    return f"{_OF_THE[noun.gender]} {_said(noun, _GENITIVE, _BEHIND_THE)}" if noun.gender else f"von {noun.name}"  # fmt: skip


def in_the(noun: Noun) -> str:
    """``im Teig``, ``in der Masse``."""
    return f"{_IN_THE[noun.gender]} {_said(noun, DATIVE, _BEHIND_THE)}" if noun.gender else f"in {noun.name}"  # fmt: skip


def the_rest_of(noun: Noun) -> str:
    """``restlichen Zucker``; what has no gender here by its name alone."""
    if not noun.gender:
        return f"den Rest {noun.name}"
    return f"{_REST[noun.gender]} {bare(noun, ACCUSATIVE)}"


def several(noun: Noun) -> Noun:
    """The plural of what is counted; else the same."""
    return Noun(noun.several, "p") if noun.several else noun


def noun_first(name: str) -> str:
    """As a register lists it: ``brauner Zucker`` as ``Zucker, brauner``."""
    found = _BEFORE.match(name)
    if not found:
        return name
    noun, sign, behind = re.split(r"(, | \(|$)", name[found.end() :], maxsplit=1)
    return f"{noun}, {found[0].strip()}{sign}{behind}"


def sized(adjective: str, gender: str, is_one: bool) -> str:
    """``großes``, ``große``: how large what is counted is."""
    ending = {"m": "er", "f": "e", "n": "es"}.get(gender, "e") if is_one else "e"
    return f"{adjective}{ending}"


def _said(noun: Noun, case: str, endings: dict[str, dict[str, str]]) -> str:
    """The noun with the words before it in their endings, and the n of a plural in the dative."""
    if not noun.gender:
        return noun.name
    before = _BEFORE.match(noun.name)
    words = before[0].split() if before else []
    bent = (_BENT.sub(endings[case][noun.gender], word) for word in words)
    rest = noun.name[before.end() :] if before else noun.name
    if case == DATIVE and noun.gender == "p":
        rest = _HEAD.sub(lambda head: _with_n(head[0]), rest, count=1)
    return " ".join((*bent, rest))


def _bent(made_ready: str, ending: str) -> str:
    """``gefettete und bemehlte``."""
    return " und ".join(f"{word}{ending}" for word in made_ready.split(" und ") if word)


def _with_n(head: str) -> str:
    return head if head.endswith(("n", "s")) else f"{head}n"


def hundred(of: Hundred, what: Noun, part: Noun, in_all: bool) -> str:
    """``eigenes Mehl im Teig``, ``Mehl im Teig insgesamt``."""
    own = f"{sized('eigen', what.gender, what.gender != 'p')} " if of.own else ""
    said = f"{own}{what.name} {in_the(part)}{' insgesamt' if in_all else ''}"
    return said if of.whole else f"{said} (nicht alles)"

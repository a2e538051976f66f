"""Which listed ingredients a step names: by name, by its noun ("the flour"), by kind ("dry ingredients")."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from perflour.formula.portions import joined, taken
from perflour.kitchen.catalogue import Catalogue, built_in
from perflour.kitchen.names import normal_name
from perflour.kitchen.quantity import ALL, HALF, REST
from perflour.recipe.words import kitchen_unit, word_map, word_set

#: A word for several ingredients stands for at most so many; more is kept as text.
MOST_MEANT = 60
#: Longer phrases are no names; looking for them would make a long step slow.
MOST_WORDS = 8
#: A name of the catalogue that no list has is looked for up to so many words; what is not told of.
MOST_OF_NAME, _WATER = 3, "water"
# Stands for what is mentioned where its portion is read.
_NAME = "name"
_AS_WRITTEN = {REST: "rest of ", HALF: "half of ", ALL: ""}
_DRY_GROUP = "dairy"
_DRY = ("dry", "powder", "dried")


class Listed(NamedTuple):
    """An item or part that steps can use; ``group`` is the catalogue's, empty for what it does not know.

    ``parts`` are those that list it, empty for a part itself and in a recipe of one part.
    """

    name: str
    group: str = ""
    main: str = ""
    aliases: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()


class Mention(NamedTuple):
    """Names that one place of a step means, ``start`` to ``end`` in its words.

    ``by_kind`` where a word for a kind of ingredient stands there ("the liquid").
    """

    names: tuple[str, ...]
    start: int
    end: int
    by_kind: bool = False


def listed(item: str, catalogue: Catalogue, parts: Iterable[str] = ()) -> Listed:
    known = catalogue.find(item)
    if known is None:
        return Listed(item, parts=tuple(parts))
    return Listed(item, known.group, known.name, known.aliases, tuple(parts))


class Index:
    """What is listed, by every phrase that may mean it."""

    def __init__(self, entries: Iterable[Listed]) -> None:
        self.entries = list({entry.name: entry for entry in entries}.values())
        self.names = tuple(entry.name for entry in self.entries)
        self._phrases: dict[tuple[str, ...], list[str]] = {}
        self._kinds: set[tuple[str, ...]] = set()
        self._nouns: set[str] = set()
        self._main = {entry.name: entry.main for entry in self.entries}
        #: How many words the longest phrase has that begins with a word.
        self._longest: dict[str, int] = {}
        #: What ``places`` said: every look at a sentence asks again.
        self._placed: dict[tuple[str, ...], frozenset[int]] = {}
        for entry in self.entries:
            for spelling in (entry.name, entry.main, *entry.aliases):
                self._add(spelling, entry.name)
        exact = set(self._phrases)
        named = {stems(entry.name) for entry in self.entries}
        for entry in self.entries:
            for noun in (*_nouns(entry), *_nouns_of_aliases(entry)):
                if stems(noun) not in named:
                    self._add(noun, entry.name)
                    self._nouns.update(stems(noun))
        for words, meant in word_map("group-words").items():
            if stems(words) not in exact:
                self._kinds.add(stems(words))
                for name in self._of_groups(meant):
                    self._add(words, name)

    def _add(self, spelling: str, name: str) -> None:
        key = stems(spelling)
        if not 0 < len(key) <= MOST_WORDS:
            return
        names = self._phrases.setdefault(key, [])
        if name not in names:
            names.append(name)
        self._longest[key[0]] = max(self._longest.get(key[0], 0), len(key))

    def _of_groups(self, meant: dict[str, object]) -> list[str]:
        groups = meant["groups"]
        assert isinstance(groups, list)
        wet = not meant.get("dry") and _DRY_GROUP in groups
        found = [e.name for e in self.entries if e.group in groups and not (wet and _is_dry(e.main or e.name))]  # fmt: skip
        if meant.get("dry"):
            found += [e.name for e in self.entries if e.group == _DRY_GROUP and _is_dry(e.name)]
            found += [e.name for e in self.entries if e.main == "cocoa powder"]
        return found

    def mentions(self, words: Sequence[str]) -> list[Mention]:
        """Every mention in the folded words of a step, longest phrase first, left to right."""
        found: list[Mention] = []
        at = 0
        stemmed = [stem(word) for word in words]
        while at < len(words):
            length = min(self._longest.get(stemmed[at], 0), len(words) - at)
            if not length:  # as of most words
                at += 1
                continue
            while length and tuple(stemmed[at : at + length]) not in self._phrases:
                length -= 1
            names = self._phrases[tuple(stemmed[at : at + length])] if length else []
            if length == 1 and stemmed[at] in self._nouns and at and self._is_other(words[at - 1], words[at], names):  # fmt: skip
                names = []
            if 0 < len(names) <= MOST_MEANT:
                by_kind = tuple(stemmed[at : at + length]) in self._kinds
                found.append(Mention(tuple(names), at, at + length, by_kind))
            at += max(length, 1)
        return found

    def _is_other(self, before: str, noun: str, names: Iterable[str]) -> bool:
        """ "Icing sugar", where the list has demerara: the word before makes another thing of a noun."""
        known, plain = built_in().find(f"{before} {noun}"), built_in().find(noun)
        if known is None or (known == plain and before != "granulated"):
            return False
        return all(self._main[name] != known.name and before not in name.lower().split() for name in names)  # fmt: skip

    def unlisted(self, words: Sequence[str]) -> str:
        """The first thing of the catalogue that the words of a step name and no list has; empty for none.

        Water is not told: pans of it and hands wet with it are in many methods."""
        named, find = self.places(words), built_in().find
        for at, word in enumerate(words):
            if at in named:
                continue
            for length in range(min(MOST_OF_NAME, len(words) - at), 0, -1):
                phrase = " ".join(words[at : at + length])
                if not (known := find(phrase)) or not named.isdisjoint(range(at, at + length)):
                    continue
                if known.name != _WATER and word not in word_set("states"):
                    return phrase
        return ""

    def places(self, words: Sequence[str]) -> frozenset[int]:
        """Where the words of a step, in lower case, name something listed."""
        said = tuple(words)
        if said not in self._placed:
            found = self.mentions([normal_name(word) for word in words])
            self._placed[said] = frozenset(n for one in found for n in range(one.start, one.end))
        return self._placed[said]


def _is_dry(name: str) -> bool:
    return any(word in name.lower() for word in _DRY)


def _nouns(entry: Listed) -> list[str]:
    """Short forms of a name: its last word, and its first where the end is often left out."""
    words = normal_name(entry.name).split()
    if len(words) < 2:
        is_meal = bool(words) and words[0].endswith("meal") and words != ["meal"]
        return ["meal"] if is_meal else []
    ends = word_set("left-out-ends")
    front = " ".join(words[:-1])
    is_left_out = words[-1] in ends and front != "baking"  # "baking trays" hold no powder
    return [words[-1], front] if is_left_out else [words[-1]]


def _nouns_of_aliases(entry: Listed) -> list[str]:
    """What a thing is called as a kind: cheddar is "the cheese"."""
    last = {normal_name(alias).split()[-1] for alias in entry.aliases if " " in alias}
    return sorted(last & word_set("nouns-of-aliases"))


# Owner: the process. Bound: 2,048 names. Pays: the lists of recipes name the same foods, and each is asked for its words
# again and again.
@lru_cache(maxsize=2048)
def stems(text: str) -> tuple[str, ...]:
    """The words of a name without their plurals."""
    return tuple([stem(word) for word in normal_name(text).split()])


# Owner: the process. Bound: 2,048 words. Pays: the steps of a recipe name its foods again and again, and recipes
# name the same foods: docs/performance.md.
@lru_cache(maxsize=2048)
def stem(word: str) -> str:
    """A word without its plural: eggs, berries, peaches."""
    if word.endswith("ies") and len(word) > 4:
        return f"{word[:-3]}y"
    if word.endswith(("shes", "ches", "sses", "xes", "oes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def portion_before(words: Sequence[str], at: int) -> tuple[str, int]:
    """The portion that stands before a mention as `uses` has it, and where it starts.

    "Half the" is `half of `, "1/4 cupful of" `1/4 cup of `; all of something needs no words.
    """
    first = max(0, at - MOST_WORDS)
    spelled = [_unit_spelled(words, n) for n in range(first, at)]
    for skipped in range(len(spelled)):
        read = taken(" ".join((*spelled[skipped:], _NAME)))
        if read.takes and read.name == _NAME:
            return _AS_WRITTEN.get(read.takes, joined(read.words)), first + skipped
    return "", at


def _unit_spelled(words: Sequence[str], at: int) -> str:
    """A word of a step, a unit behind a number by its own name."""
    unit = kitchen_unit(words[at]) if at and words[at - 1][:1].isdigit() else None
    return unit.name if unit else words[at]

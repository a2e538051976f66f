"""What a method speaks of: which part, and which mixture that was made before.

"The flour mixture" stands for what went into it, "the dry" for the dry things; a step on the topping takes
the topping's sugar, not the batter's.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from perflour.formula.verbs import MIXES, MIXES_DRY, MIXES_IN, PUTS_ON
from perflour.kitchen.quantity import PORTION_WORDS
from perflour.recipe.method.mentions import Index, Mention, stem, stems
from perflour.recipe.words import word_map, word_set

_MIXTURE = frozenset(("mixture", "mix", "mixtures"))
_DRY_AND_WET = {
    "dry": "dry ingredients",
    "wet": "wet ingredients",
    "liquid": "wet ingredients",
    "liquids": "wet ingredients",
    "sifted": "dry ingredients",
}
_CREAMED = frozenset(("creamed", "creamy", "beaten", "whipped"))
#: Words that "the dry" and "the wet" may be followed by and still mean all of them.
_THINGS = frozenset(
    (
        "ingredients",
        "ingredient",
        "things",
        "thing",
        "stuff",
        "mixture",
        "mix",
        "lot",
        "ones",
        "goods",
        "bits",
    )
)
_NO_NOUN = frozenset(("", ",", ";", ".", ":", "and", "to", "into", "in", "with", "together", "then", "until", "on", "over", "by", "is", "are", "gently", "lightly", "a", "alternately", "first", "at"))  # fmt: skip
#: More words before "mixture" are no name of it.
_MOST_BEFORE = 5
_INTO_IT = re.compile(r"\b(?:in|into|to) (?:it|them|this|that)\b", re.IGNORECASE)
_LIQUIDS = frozenset(("milk", "water", "liquid", "mixture", "mix", "buttermilk"))
_MAKE = "|".join(sorted(word_set("verbs-that-make-parts")))
_TOPIC = re.compile(
    rf"^(?:(?:then|next|now|meanwhile|while [^,]{{1,80}}|when [^,]{{1,80}}|and|so)\W+)*(?:(?:ingredients )?for (?:the|your|a)|to make (?:the|a|your)|(?:you |we )?(?:{_MAKE})(?: up)? (?:the|a|your)|(?:the|an?)?)\s*(?P<name>[^,;:.]{{2,60}})",
    re.IGNORECASE,
)
_HEADED = re.compile(r"^(?P<name>[^,;:.]{2,60}):")


class Mixture(NamedTuple):
    """What a step brought together, and its verb."""

    do: str
    names: tuple[str, ...]


class Mixtures:
    """The mixtures made so far; a class because what is named later grew before."""

    def __init__(self, index: Index) -> None:
        self._groups = {entry.name: entry.group for entry in index.entries}
        self._of_parts = {entry.name: entry.parts for entry in index.entries}
        self._stems = {entry.name: frozenset((*stems(entry.name), *stems(entry.main))) for entry in index.entries}  # fmt: skip
        self._made: list[Mixture] = []

    def made(self, do: str, uses: Sequence[str], text: str = "") -> None:
        """Note what a step brought together; "stir in" and "crumble into it" add to the mixture before it."""
        names = tuple(name for name in uses if name in self._groups)
        verb = do.split(" ")[0]
        into_it = bool(_INTO_IT.search(text))
        if not names or not (into_it or verb in MIXES | MIXES_IN | MIXES_DRY | word_set("verbs-that-make-mixtures")):  # fmt: skip
            return
        goes_in = into_it or verb == "add" or do.endswith((" in", " into"))
        if self._made and goes_in and not set(names) <= set(self._made[-1].names):
            last = self._made[-1]
            names = tuple(dict.fromkeys((*last.names, *names)))
            do = last.do
        self._made.append(Mixture(do, names))

    def named_in(self, words: Sequence[str], part: str) -> Iterator[tuple[range, tuple[str, ...]]]:
        """Where the words name a mixture, and what went into it."""
        for at, word in enumerate(words):
            follower = words[at + 1] if at + 1 < len(words) else ""
            if word in _DRY_AND_WET and word not in self._groups and (follower in _THINGS or (follower in (*_NO_NOUN, *PORTION_WORDS) and (word.startswith("liquid") or (at and words[at - 1] == "the")))):  # fmt: skip
                names = (
                    self._poured(word, part)
                    or self._of_kind(_DRY_AND_WET[word], part)
                    or (self._all_of(_DRY_AND_WET[word], part) if follower != "ingredients" else ())
                )
                if names:
                    end = at + 2 if follower in _THINGS else at + 1
                    yield range(at - (bool(at) and words[at - 1] == "the"), end), names
            elif follower in _LIQUIDS and (names := self._stirred_into(word, follower)):
                yield range(at, at + 2), names
            elif word in _MIXTURE and at:
                first, names = self._before(words, at)
                if names:
                    yield range(first, at + 1), names

    def _of_kind(self, kind: str, part: str) -> tuple[str, ...]:
        """The last mixture of nothing but that kind; () where there was none, so that the list is asked."""
        meant = word_map("group-words")[kind]["groups"]
        fits = {name for name, group in self._groups.items() if group in meant or (group in (("chocolate", "dairy", "nut") if kind.startswith("dry") else ("flavouring", "fat")))}  # fmt: skip
        for mixture in reversed(self._made):
            has_flour = any(
                self._groups[n] in ("flour", "starch", "leavening") for n in mixture.names
            )
            is_whole = len(mixture.names) > 1 and set(mixture.names) <= fits
            if is_whole and (has_flour or not kind.startswith("dry")) and self._may_be(mixture, part):  # fmt: skip
                return mixture.names
        return ()

    def _poured(self, word: str, part: str) -> tuple[str, ...]:
        """The last mixture that holds all liquids and nothing dry: "the liquid" of eggs, milk and salt."""
        liquids = set(self._all_of(_DRY_AND_WET[word], part))
        liquids = {n for n in liquids if self._groups[n] in ("liquid", "dairy")}
        if not word.startswith("liquid") or not liquids or not self._made:
            return ()
        last = next((m for m in reversed(self._made) if liquids & set(m.names)), Mixture("", ()))
        is_dry = any(self._groups[n] in ("flour", "starch", "leavening") for n in last.names)
        return last.names if liquids <= set(last.names) and not is_dry else ()

    def _stirred_into(self, word: str, liquid: str) -> tuple[str, ...]:
        """What is in "the yeasty milk", "the yeast water": all that was stirred together with the yeast."""
        if not word.endswith("y") and word != "yeast":
            return ()
        bare = {word, word.removesuffix("y"), stem(word)}
        for mixture in reversed(self._made):
            whole = [name for name in mixture.names if bare & self._stems[name]]
            if whole and len(mixture.names) > 1 and (word.endswith("y") or word == "yeast"):
                also = (
                    n for n in self._groups if liquid in self._stems[n] and liquid not in _MIXTURE
                )
                return tuple(dict.fromkeys((*mixture.names, *also)))
        return ()

    def _all_of(self, kind: str, part: str) -> tuple[str, ...]:
        """All that is listed of a kind, of the part that is spoken of."""
        groups = word_map("group-words")[kind]["groups"]
        own = [n for n, group in self._groups.items() if group in groups and group != "sugar"]
        return tuple(n for n in own if not part or not self._of_parts[n] or part in self._of_parts[n])  # fmt: skip

    def _may_be(self, mixture: Mixture, part: str) -> bool:
        return not part or all(not self._of_parts[n] or part in self._of_parts[n] for n in mixture.names)  # fmt: skip

    def _before(self, words: Sequence[str], at: int) -> tuple[int, tuple[str, ...]]:
        """ "the flour mixture", "the butter and sugar mixture", "the creamed mixture"."""
        first = at
        said: set[str] = set()
        while first > max(0, at - _MOST_BEFORE) and words[first - 1] not in ("the", "this", "a", "with", "to", "into", ","):  # fmt: skip
            first -= 1
            said.add(stem(words[first]))
        if not said:
            return at, ()
        said -= {"and", "of", *PORTION_WORDS}
        if said & _CREAMED:
            fat = {name for name, group in self._groups.items() if group in ("fat", "oil", "egg")}
            for mixture in reversed(self._made):
                if mixture.do.split(" ")[0] in word_set("verbs-that-cream") and set(mixture.names) & fat:  # fmt: skip
                    return first, mixture.names
        for mixture in reversed(self._made):
            known = set().union(*(self._stems[name] for name in mixture.names))
            if said and said <= known | {f"{mixture.do}ed", f"{mixture.do}d", *word_set("states")}:  # fmt: skip
                return first, mixture.names
        for mixture in reversed(self._made):
            if any(said & self._stems[name] for name in mixture.names):
                return first, mixture.names
        return at, ()


class Topics:
    """Which part a method is speaking of; empty where the recipe has one part."""

    def __init__(self, index: Index, parts: Sequence[str]) -> None:
        self._of_parts = {entry.name: entry.parts for entry in index.entries}
        self._parts = {part: frozenset(stems(part)) for part in parts}
        self._first = next(iter(parts), "")
        self.part = self._first

    def open_paragraph(self, above: str = "") -> None:
        """A paragraph without a topic of its own speaks of the part listed above it, else of the first."""
        self.part = above or self._first

    def hear(self, sentence: str) -> None:
        """A heading, "for the glaze", "make the streusel": that part is spoken of from here on."""
        for pattern in (_HEADED, _TOPIC):
            match = pattern.match(sentence)
            if match and (part := self._called(match["name"], pattern is _HEADED)):
                self.part = part
                return

    def _called(self, name: str, headed: bool) -> str:
        words = [stem(word) for word in re.findall(r"[^\W\d_]+", name.lower())]
        said = set(words if headed else words[:3])
        fitting = [part for part, known in self._parts.items() if known & said]
        whole = [part for part in fitting if self._parts[part] <= said]
        return next(iter(whole or fitting), "")

    def follow(self, mentions: Iterable[Mention], do: str) -> None:
        """Where all that a step names stands in one other part, that part is spoken of."""
        if not self._parts or do.split(" ")[0] in PUTS_ON | word_set("verbs-that-bring-on"):
            return
        lists = [set(self._of_parts.get(name, ())) for m in mentions for name in m.names if not m.by_kind]  # fmt: skip
        lists = [parts for parts in lists if parts]
        if not lists or any(self.part in parts for parts in lists):
            return
        common = set.intersection(*lists)
        if len(common) == 1:
            self.part = next(iter(common))

    def of_part(self, names: Sequence[str]) -> tuple[str, ...]:
        """Those of the part that is spoken of, all where it lists none of them."""
        own = tuple(n for n in names if not self._of_parts.get(n) or self.part in self._of_parts[n])
        return own if any(self._of_parts.get(n) for n in own) else tuple(names)

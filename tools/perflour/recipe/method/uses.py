"""Which listed things a clause takes: named, meant by a kind or a mixture, left over, or all of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from perflour.formula.portions import taken
from perflour.kitchen.names import fold, normal_name
from perflour.kitchen.numerals import in_figures
from perflour.kitchen.quantity import PORTION_WORDS, REST
from perflour.recipe.method.mentions import MOST_MEANT, Index, Mention, portion_before
from perflour.recipe.method.mixtures import Mixtures, Topics
from perflour.recipe.words import word_map, word_set

_WORD_OR_SIGN = re.compile(r"[0-9]+/[0-9]+|[0-9]+ ?%|[0-9]+x\b|[^\W_]+(?:['’.][^\W_]+)*|[^\s\w]")
_SUGAR = re.compile(r"\bsugars?\b", re.IGNORECASE)
_AFTER_ALL = ("", "thoroughly", "together", "well", ",", "until")
#: So many words before a thing are looked at for what it is named for.
_MOST_OF_CLAUSE = 8
_EXCEPT = ("bar", "except", "excepting", "excluding", "but", "without")
#: Whether a text speaks of sugar by its name.
NAMES_SUGAR = _SUGAR.search


class Uses:
    """What was used so far and by which portions; a class because "the remaining" looks back."""

    def __init__(self, index: Index, parts: Sequence[str], names_sugar: bool) -> None:
        self.index = index
        self.parts = frozenset(map(fold, parts))
        self.topics = Topics(index, parts)
        self.mixtures = Mixtures(index)
        self.used: set[str] = set()
        self.partly: dict[str, None] = {}
        self.names_sugar = names_sugar

    def of(self, text: str, do: str) -> tuple[list[str], str]:
        """Names in the order they are said, portions before them; and the text without them."""
        pieces = pieces_of(text)
        words = _folded(pieces)
        found: list[tuple[int, str]] = []
        gone: set[int] = set()
        for span, names in self.mixtures.named_in(words, self.topics.part):
            led = span.start + (words[span.start] == "the")  # "half the liquid"
            portion, start = portion_before(words, led)
            gone.update((*range(start, span.start), *span))
            found += ((span.start, self._taking(name, portion)) for name in names)
        excluded = self._excluded(words)
        mentions = [m for m in self.index.mentions(words) if not gone & set(range(m.start, m.end))]
        self.topics.follow(mentions, do)
        for mention in mentions:
            if words[max(0, mention.start - 2) : mention.start] == ["to", "a"]:
                continue  # "to a cream", "to a batter": what it becomes
            if _is_aim(words, mention.start):
                continue
            if mention.start and words[mention.start - 1] in ("no", "not"):
                continue
            if do.split(" ")[0] in word_set("verbs-that-wet") and words[
                mention.start : mention.end
            ] == ["water"]:
                continue
            if self._is_topic(mention, words):
                gone.update(range(mention.start, mention.end))
                continue
            portion, start = portion_before(words, mention.start)
            gone.update(range(start, mention.end))
            for name in self._meant(mention):
                if mention.start in excluded or (len(mention.names) > 1 and name in excluded):
                    continue
                if mention.by_kind and words[mention.start] == "dry" and self._is_creamed(name):
                    continue
                found.append((mention.start, self._taking(name, portion)))
        if (rest := self._the_rest(words)) is not None and not gone & set(rest):
            gone.update(rest)
            found += ((rest.start, f"rest of {name}") for name in self.partly)
            self.partly.clear()
        if not found and (some := self._by_place(words)):
            found += ((0, name) for name in some)
        if not found and do in word_map("names-of-verbs"):
            found += ((0, name) for name in self._own([word_map("names-of-verbs")[do]]))
        uses = [name for _, name in sorted(found, key=lambda pair: pair[0])]
        uses += self._everything(words, gone, bool(uses))
        kept = [piece for at, piece in enumerate(pieces) if at not in gone]
        return list(dict.fromkeys(uses)), " ".join(kept)

    def _by_place(self, words: Sequence[str]) -> list[str]:
        """ "Cream the first two, beat in the rest": told by where they stand in the list of their part."""
        own = self._foods(self.topics.of_part(self.index.names))
        at = next((n for n, word in enumerate(words) if word in ("first", "rest")), None)
        knows_part = bool(self.topics.part) or len(self.parts) < 2
        if at is None or len(own) > MOST_MEANT or not knows_part:
            return []
        behind = words[at + 1] if at + 1 < len(words) else ""
        if words[at] == "first" and (many := in_figures(behind)).isdecimal():
            meant = (
                own[: int(many)] if words[at + 2 : at + 3] in ([], [","], ["ingredients"]) else []
            )
        else:
            meant = [n for n in own if n not in self.used] if words[at] == "rest" and behind == "" else []  # fmt: skip
            meant = meant if len(meant) < len(own) else []  # "leave to rest"
        self.used.update(meant)
        return meant

    def _foods(self, names: Iterable[str]) -> list[str]:
        """Of what is listed, all that is no part."""
        return [name for name in names if fold(name) not in self.parts]

    def _own(self, words: Sequence[str]) -> tuple[str, ...]:
        """The one thing listed by a name in the part that is spoken of; () where there are several."""
        names = [name for mention in self.index.mentions(words) for name in mention.names]
        own = self.topics.of_part(names)
        return own if len(own) == 1 else ()

    def _meant(self, mention: Mention) -> tuple[str, ...]:
        """Of the part that is spoken of; of a kind of ingredient, those that no step has used yet."""
        names = self.topics.of_part(mention.names)
        unused = tuple(name for name in names if name not in self.used)
        return unused if mention.by_kind and unused else names

    def _is_topic(self, mention: Mention, words: Sequence[str]) -> bool:
        """ "For the sauce", "to a dough": the name of a part that is being made, not taken."""
        name = mention.names[0]
        if len(mention.names) > 1 or fold(name) not in self.parts:
            return False
        before = list(words[max(0, mention.start - 3) : mention.start])
        return (
            before[-1:] in (["a"], ["an"])
            or before[-2:] in (["for", "the"], ["make", "the"])
            or (
                name == self.topics.part and words[mention.end : mention.end + 1] in ([":"], ["is"])
            )
        )

    def _is_creamed(self, name: str) -> bool:
        """Whether a sugar is spoken of by itself, so that it is none of "the dry ingredients"."""
        group = next((e.group for e in self.index.entries if e.name == name), "")
        return group == "sugar" and self.names_sugar

    def _the_rest(self, words: Sequence[str]) -> range | None:
        """ "Add the rest" of what half was taken of."""
        for at, word in enumerate(words):
            behind = words[at + 1] if at + 1 < len(words) else ""
            if word in ("rest", "remainder") and behind != "of" and self.partly:
                return range(max(0, at - 1), at + 1)
        return None

    def _excluded(self, words: Sequence[str]) -> set[object]:
        """Names and places of what stands behind "except"."""
        at = next((n for n, word in enumerate(words) if word in _EXCEPT and not (words[n + 1 : n + 2] or [""])[0].endswith("ing")), None)  # fmt: skip
        if at is None:
            return set()
        found: set[object] = set()
        for mention in self.index.mentions(words[at + 1 :]):
            found.add(mention.start + at + 1)
            found.update(mention.names)
        return found

    def _taking(self, name: str, portion: str) -> str:
        if taken(f"{portion}{name}").takes == REST and name not in self.used:
            portion = ""
        self.used.add(name)
        if portion and taken(f"{portion}{name}").takes != REST:
            self.partly[name] = None
        return f"{portion}{name}"

    def _everything(self, words: Sequence[str], gone: set[int], uses_any: bool) -> list[str]:
        """ "All ingredients", "the remaining ingredients"."""
        for at, word in enumerate(words):
            behind = (words[at + 1 : at + 2] or [""])[0]
            is_in = at == 0 and behind == "in"  # "all in except butter"
            alone = word == "all" and not uses_any and (is_in or behind in (*_AFTER_ALL, *_EXCEPT))
            if (word not in ("ingredients", "everything") and not alone) or at in gone:
                continue
            before = {"all"} if alone else set(words[max(0, at - 3) : at])
            own = self.topics.of_part(self.index.names)
            if any(PORTION_WORDS.get(word) == REST for word in before):
                names = [name for name in own if name not in self.used]
            elif word == "everything" and 2 * sum(name in self.used for name in own) > len(own):
                names = []  # it means what was put together so far, as "the mixture" does
            elif "all" in before or word == "everything":
                names = list(own)
            else:
                continue
            if len(names) > MOST_MEANT:
                return []
            excluded = self._excluded(words)
            names = [name for name in self._foods(names) if name not in excluded]
            gone.update(range(max(0, at - 3), at + 1))
            self.used.update(names)
            return names
        return []


def _is_aim(words: Sequence[str], at: int) -> bool:
    """Whether a thing is not taken there: "to take up the flour", "while the batter is made", "if the dough is dry"."""
    before = list(words[max(0, at - _MOST_OF_CLAUSE) : at])
    if before[-4:] == ["to", "take", "up", "the"] or before[-4:] == ["by", "which", "time", "the"]:
        return True
    if "if" in before and "," not in before[before.index("if") :]:
        return True  # "dust with sugar if you have no time for the glaze"
    if "while" not in before:
        return False
    behind = list(words[at + 1 : at + 4])
    is_left = before[len(before) - before[::-1].index("while") :] in ([], ["the"])
    return is_left and bool({"is", "are"} & set(behind[:2]))


def pieces_of(text: str) -> list[str]:
    """The words, numbers and signs of a clause, as they are spelled."""
    return [piece for piece in _WORD_OR_SIGN.findall(text) if piece != "-"]


def words_of(text: str) -> list[str]:
    """The same, folded as names are looked up."""
    return _folded(pieces_of(text))


def _folded(pieces: Iterable[str]) -> list[str]:
    return [normal_name(piece).strip(".") for piece in pieces]

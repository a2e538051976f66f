"""Which listed things the sentences of a method take, though no `uses` names them; loaded only where a
rule would otherwise say that nothing does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from perflour.formula.verbs import LAYS, PUTS_ON, STREWS, past
from perflour.kitchen.names import fold
from perflour.lint.ask.method import main_name, names_by_part
from perflour.lint.ask.said import sentences
from perflour.lint.ask.steps import verbs, words
from perflour.lint.rule import Context
from perflour.tuples import NamedTuple

Phrase = tuple[str, ...]

# In a clause before the name: it is not taken there.
_NOT = frozenset(("not", "no", "never", "t", "without", "except", "excepting", "but", "bar", "save", "omit", "omitting", "skip", "instead", "unlike"))  # fmt: skip
# In a sentence: it weighs or explains what might be.
_WEIGHS = frozenset(("if", "unless", "would", "could", "might", "may", "too", "because", "why", "gives", "keeps", "makes", "comes", "come", "substitute"))  # fmt: skip
# Before a name that opens its clause.
_OPENS = frozenset(("the", "a", "an", "and", "then", "now", "soft", "cold", "melted", "beaten", "remaining"))  # fmt: skip
# Behind a name that opens its clause: it is put in, not talked of ("salt toughens the yolk").
_GOES = frozenset(("and", "with", "or", "for", "in", "into", "on", "to", "go", "goes", "together"))
# Behind a name: no food, or what a verb of that name is done to ("butter the pan").
_NO_FOOD = frozenset(("the", "a", "bowl", "pan", "tin", "knife", "dish", "mixture", "paper"))
_ALL = frozenset(("everything", "all"))
_ALL_OF = frozenset(("the", "ingredients", "together", "of", "bar", "but", "except", "thoroughly", "in", "into", "on"))  # fmt: skip
_PUT_ON = frozenset((*PUTS_ON, *map(past, PUTS_ON)))
_ONTO = frozenset(("strew", "strewn", "laid", *LAYS, *_PUT_ON, *STREWS, *map(past, STREWS)))
# What is done to a thing that was just made, where the step says on what and names nothing that could be meant.
_LAID_ON = LAYS | PUTS_ON
_ON = frozenset(("on", "over", "onto", *_PUT_ON))


class Taken(NamedTuple):
    """A listed thing that a sentence takes: its main name, and the words of the sentence."""

    name: str
    sentence: Phrase


def taken_by_words(context: Context) -> set[str]:
    """Main names of what the sentences of the method take."""
    return {taken.name for taken in context.once(_taken)}


def put_on_by_words(context: Context, part: int) -> bool:
    """Whether a sentence or a step puts on a part, or what is in it, without naming it in `uses`."""
    listed = context.formula.parts[part]
    lines = set(names_by_part(context)[part])
    named = [words(name) for name in (listed.name, listed.kind) if name]
    for _, sentence in sentences(context):
        said = words(sentence)
        if _ON & set(said) and any(_holds(said, name) for name in named):
            return True
    for at, (does, step) in enumerate(zip(verbs(context), context.formula.method, strict=True)):
        if does in _ONTO and lines & {main_name(context, use.name) for use in step.uses}:
            return True
        if does in _LAID_ON and _just_made(context, at, lines):
            return True
    return any(t.name in lines and _ONTO & set(t.sentence) for t in context.once(_taken))


def _just_made(context: Context, at: int, lines: set[str]) -> bool:
    """Whether a step that puts something on stands right behind one that took from these lines alone.

    It names nothing, or only what cannot be piped: "pipe 50 g, one walnut half on each".
    """
    before = context.formula.method[at - 1] if at else None
    step = context.formula.method[at]
    where = "on" in step.said or not _ON.isdisjoint(words(step.text("note")))
    if before is None or not where or (step.uses and verbs(context)[at] != "pipe"):
        return False
    taken = {main_name(context, use.name) for use in before.uses}
    return bool(taken) and taken <= lines


def _taken(context: Context) -> tuple[Taken, ...]:
    phrases = _phrases(context)
    longest, begin = max(map(len, phrases), default=0), {phrase[0] for phrase in phrases}
    found: list[Taken] = []
    for at, sentence in sentences(context):
        said = words(sentence)
        if not _WEIGHS.isdisjoint(said):
            continue
        found += [Taken(name, said) for name in _everything(context, at, said, phrases)]
        for clause in re.split(r",(?:\s|$)|:\s", sentence):
            tokens = words(clause)
            found += [Taken(n, said) for n in _in_clause(context, tokens, phrases, longest, begin)]
    if any(does.startswith("reconstitut") for does in verbs(context)):
        found.append(Taken(main_name(context, "water"), ("reconstitute",)))
    return tuple(found)


def _in_clause(
    context: Context, tokens: Phrase, phrases: dict[Phrase, str], longest: int, begin: set[str]
) -> Iterator[str]:
    """The names that a clause takes; the longest name at each place is the one that is meant.

    ``longest`` is the most words of a name, ``begin`` are the first words of all.
    """
    stems = tuple(map(_stem, tokens))
    if begin.isdisjoint(stems):
        return
    at = 0
    while at < len(stems):
        if stems[at] not in begin:
            at += 1
            continue
        for end in range(min(at + longest, len(stems)), at, -1):
            name = phrases.get(stems[at:end])
            if name is not None:
                if _is_taken(context, tokens, at, end, name):
                    yield name
                at = end - 1
                break
        at += 1


def _is_taken(context: Context, tokens: Phrase, at: int, end: int, name: str) -> bool:
    before, behind = tokens[:at], tokens[end : end + 1]
    if not _NOT.isdisjoint(before) or not _NO_FOOD.isdisjoint(behind):
        return False
    if behind and _OPENS.issuperset(before) and not _goes(tokens[end : end + 2]):
        return False
    return not any(
        _is_other(context, " ".join(wider), name, main_name(context, " ".join(tokens[at:end])))
        for wider in (tokens[max(at - 1, 0) : end], tokens[at : end + 1])
    )


def _goes(behind: Phrase) -> bool:
    """Whether what follows a name says that it goes somewhere: "with", "goes", "is stirred"."""
    passive = behind[0] in ("is", "are") and behind[-1].endswith(("ed", "en", "in", "put"))
    return behind[0] in _GOES or passive


def _is_other(context: Context, wider: str, name: str, alone: str) -> bool:
    """Whether a name with a word around it is another food: the butter of "peanut butter"."""
    known = context.catalogue.find(wider)
    return known is not None and fold(known.name) not in (name, alone)


def _phrases(context: Context) -> dict[Phrase, str]:
    """How each listed thing may be written, to its main name."""
    found: dict[Phrase, str] = {}
    for part, names in zip(context.formula.parts, names_by_part(context), strict=True):
        for line, name in zip(part.lines, names, strict=True):
            for written in (line.name, name):
                said = tuple(map(_stem, words(written)))
                found[said] = name
                if "of" in said[1:-1]:  # the juice of a lemon is lemon juice
                    of = said.index("of")
                    whose = tuple(w for w in said[of + 1 :] if w not in ("a", "an", "the"))
                    found[whose + said[:of]] = name
    found.pop((), None)
    return found


def _everything(
    context: Context, at: int, said: Phrase, phrases: dict[Phrase, str]
) -> Iterator[str]:
    """What "everything bar the butter" takes: the lines of the part that is worked on, but those."""
    place = next((i for i, word in enumerate(said) if word in _ALL), None)
    if place is None or not said[place + 1 : place + 2]:
        return
    if said[place] == "all" and said[place + 1] not in _ALL_OF:
        return
    rest = tuple(map(_stem, said[place + 1 :]))
    but = next((i for i, word in enumerate(rest) if word in _NOT), len(rest))
    left = {name for phrase, name in phrases.items() if _holds(rest[but:], phrase)}
    if said[place] == "all" and "ingredient" not in rest and "together" not in rest and not left:
        return
    yield from (name for name in _worked_on(context, at) if name not in left)


def _worked_on(context: Context, at: int) -> list[str]:
    """The lines of the part that the next step to name anything takes from; else of the first."""
    parts = names_by_part(context)
    for step in context.formula.method[at:]:
        for use in step.uses:
            for names in parts:
                if main_name(context, use.name) in names:
                    return names
    return parts[0] if parts else []


def _holds(said: Phrase, phrase: Phrase) -> bool:
    size = len(phrase)
    return any(said[i : i + size] == phrase for i in range(len(said) - size + 1))


def _stem(word: str) -> str:
    """A word without its plural."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word

"""What a pan is greased or a bench is dusted with is on the list.

Grease, dusting flour and the water in empty cups are forgotten on the shopping list. A step that
greases, dusts or sprinkles names what it takes in `uses`. In other words of a step ("butter the pan",
"floured bench") it is enough that such an ingredient is listed at all; "greased" does not say with
what, so it asks for a step that greases and names it. A step that butters or flours a pan, or greases it
"with oil", says with what, but not how much. Other wording is not understood."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from perflour.formula.formula import Step
from perflour.formula.verbs import GREASES, NAMED, PAN, STREWS, past
from perflour.lint.ask.steps import done, words
from perflour.lint.rule import Context, Finding, Rule

# What was done to a pan or bench, and what it was done with where the word says it.
DONE = {past(does): does if does in NAMED else "" for does in PAN & GREASES}
STREWN = STREWS | set(map(past, STREWS))
TELLING = frozenset((*GREASES, *DONE, "empty"))
ONTO = ("the", "a", "each", "both", "every", "all")
WHERE = frozenset((
    "pan", "pans", "tin", "tins", "mould", "moulds", "mold", "molds", "ring", "rings", "dish",
    "sheet", "sheets", "tray", "trays", "cup", "cups", "basket", "baskets", "banneton", "bannetons",
    "bench", "board", "surface", "side", "sides", "base",
))  # fmt: skip

# One of these is in what a step does that greases or dusts.
DOES = GREASES | {"fill"}
CUPS = frozenset(("cup", "cups"))


def check(context: Context) -> Iterator[Finding]:
    greased = False
    greases = not DOES.isdisjoint(done(context))
    for step in context.formula.method:
        doing = greases and _does(step.do)
        greased |= bool(doing and step.uses)
        if doing:
            if step.uses or _is_list(step):
                continue
            lacking = "how much" if _names_grease(step) else "with what"
            yield Finding(
                step.place,
                f"the step '{step.do}' does not say {lacking}; list it with an amount and name it in `uses`",
            )
        elif not greased and (said := _says(context, step)):
            lacking = "it does not say with what" if said.startswith("grease") else "none is listed"
            yield Finding(
                step.place,
                f"'{said}' in the step '{step.do}', but {lacking}; list it with an amount and name it in the `uses` of a step that greases or dusts",
            )


def _does(do: str) -> bool:
    """Whether the verb, or a second verb after "and", greases or dusts."""
    said = words(do)
    if DOES.isdisjoint(said):
        return False
    if said[0] in GREASES:
        return True
    if "and" in said and any(a == "and" and b in GREASES for a, b in pairwise(said)):
        return True
    return said[:2] == ("fill", "empty")


def _is_list(step: Step) -> bool:
    """Whether butter or flour stands there as a name, and not as what is done to a pan."""
    note = words(step.text("note"))
    return words(step.do)[0] in NAMED and bool(note) and (WHERE - CUPS).isdisjoint(note)


def _names_grease(step: Step) -> bool:
    """Whether a step says with what, though not how much."""
    return words(step.do)[0] in NAMED or "with" in words(step.text("note"))


def _is_telling(text: str) -> bool:
    """Whether a text has words of greasing or dusting and words of where."""
    said = words(text)
    return not (WHERE.isdisjoint(said) or TELLING.isdisjoint(said))


def _listed(context: Context) -> set[str]:
    """Every word of the names that are listed, but for nuts and things of no group."""
    return {
        word
        for weighed in context.balance.lines
        if weighed.group not in ("nut", "other")
        for word in words(weighed.name) + words(weighed.line.name)
    }


def _says(context: Context, step: Step) -> str:
    """The words about a pan or bench that no listed ingredient answers; empty where there are none."""
    for key in ("into", "on", "note"):
        text = step.said.get(key)
        if text is None or not _is_telling(text):
            continue
        said = words(text)
        listed = context.once(_listed)
        for word, following in zip(said, [*said[1:], ""], strict=True):
            answered = _is_answered(said, word, listed)
            if word in DONE and DONE[word] not in listed and not answered:
                return word
            if word in GREASES and following in ONTO and word not in listed and not answered:
                return f"{word} {following}"
            if word == "empty" and {"water"} & set(said) - listed:
                return f"{word} {following}"
    return ""


def _is_answered(said: tuple[str, ...], word: str, listed: set[str]) -> bool:
    """Whether something listed stands there: "dusted with flour", "greased with butter"."""
    if word in STREWN:
        return bool(listed & set(said))
    behind = said[said.index(word) + 1 :]
    return behind[:1] == ("with",) and bool(listed & set(behind[1:4]))


RULE = Rule(
    id="unlisted-grease-or-dust",
    level="note",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)

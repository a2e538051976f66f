"""Hold `perflour import` against gold: what a baker reads in a text, written by hand beside it.

Each NAME.yaml beside NAME.txt says title, yield, pans, ingredient lines by part, and steps with verb, uses,
times and temperatures (tests/recipe/gold/FORMAT.md). Prints a table a field; with --missed what was not read so.

    python tools/maintain/score_import.py [--missed] [FOLDER ...]
"""

from __future__ import annotations

import argparse
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from perflour.documents.reader import read_document
from perflour.formula.verbs import heats_oven
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import (
    Amount,
    AmountProblem,
    parse_amount,
    parse_duration,
    parse_temperature,
)
from perflour.recipe.method.mentions import stems
from perflour.result import CannotRun

ROOT = Path(__file__).parents[2]
FOLDERS = {
    "published": ROOT / "tests" / "published" / "text",
    "prose": ROOT / "tests" / "recipe" / "gold" / "prose",
    "more": ROOT / "tests" / "recipe" / "gold" / "more",
    "unseen": ROOT / "tests" / "recipe" / "gold" / "unseen",
}
FIELDS = ("line", "amount", "food", "state", "part", "verb", "uses", "time", "temperature", "yield", "pan")  # fmt: skip
#: Names of parts that say no more than that it is the base.
BASES = frozenset(("dough", "batter", "mixture", "cake", "base", "pastry", "main", "bread"))
_PORTION = re.compile(r"^(?:half|rest|[0-9/.%]+(?: [a-z]+)?) of (?:the )?")
_HEDGE = re.compile(r"^(?:about|up to|at least|another|a further|for|some) ")


class Score(NamedTuple):
    """What was asked and what was right of one text, by field, and what was not."""

    asked: Counter[str]
    right: Counter[str]
    missed: tuple[str, ...]


class Sheet:
    """Counts of one text as it is gone through."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.asked: Counter[str] = Counter()
        self.right: Counter[str] = Counter()
        self.missed: list[str] = []

    def mark(self, field: str, is_right: bool, said: str) -> bool:
        self.asked[field] += 1
        self.right[field] += is_right
        if not is_right:
            self.missed.append(f"{self.name}: {field}: {said}")
        return is_right

    def score(self) -> Score:
        return Score(self.asked, self.right, tuple(self.missed))


def score_text(path: Path, gold_in: Path, import_all: Callable[[str], Sequence[bytes]]) -> Score:
    """One text against the gold of its name in a folder."""
    sheet = Sheet(path.stem)
    gold = yaml.safe_load((gold_in / f"{path.stem}.yaml").read_text("utf-8"))["recipes"]
    try:
        made = [read_document(content, "formula.yaml").data for content in import_all(str(path))]
    except CannotRun as problem:
        sheet.missed.append(f"{path.stem}: refused: {problem}")
        made = []
    for number, recipe in enumerate(gold):
        score_recipe(sheet, recipe, made[number] if number < len(made) else {})
    return sheet.score()


def score_recipe(sheet: Sheet, recipe: Any, formula: Any) -> None:
    """What was read of one recipe, by field; ``pans`` of a reading by hand stand beside its steps."""
    _lines(sheet, recipe, formula)
    _steps(sheet, recipe, formula)
    _yield_and_pans(sheet, recipe, formula)


def _lines(sheet: Sheet, recipe: Any, formula: Any) -> None:
    wanted = [(line, part) for part in recipe["parts"] for line in part["lines"]]
    found = [
        (line, part.get("part", ""))
        for part in formula.get("parts", [])
        for line in part["ingredients"]
    ]
    for want, got in _paired(wanted, found):
        if want is None:
            sheet.mark("line", False, f"not in the text as a line: {_shown(got[0])}")
            continue
        line, part = want
        name = str(line["food"])
        if got is None:
            for field in ("line", "amount", "food", "part"):
                sheet.mark(field, False, f"{line} is missing")
            continue
        read, read_part = got
        said = f"{line} read as {_shown(read)}"
        item = str(read.get("item", read.get("part", "")))
        checks = [
            sheet.mark("amount", _is_amount(line, read), said),
            sheet.mark("food", _same_food(name, item) or _says_state(line, item), said),
        ]  # fmt: skip
        if line.get("state"):
            checks.append(sheet.mark("state", _holds_state(line, read), said))
        sheet.mark("line", all(checks), said)
        sheet.mark("part", _same_part(part["part"], read_part), f"{name} in {part['part']}, read in {read_part}")  # fmt: skip


def _shown(line: Any) -> str:
    return ", ".join(
        f"{key}: {line[key]}" for key in ("part", "item", "amount", "state", "note") if key in line
    )


def _line_likeness(want: Any, got: Any) -> float:
    line, part = want
    read, read_part = got
    item = str(read.get("item", read.get("part", "")))
    if not (_same_food(str(line["food"]), item) or set(stems(str(line["food"]))) & set(stems(item))):  # fmt: skip
        return 0.0
    amount = _same_amount(str(line.get("amount", "")), str(read.get("amount", "")))
    return 1.0 + _same_food(str(line["food"]), item) + amount + _same_part(part["part"], read_part) / 2  # fmt: skip


def _same_food(one: str, other: str) -> bool:
    known = [built_in().find(name) for name in (one, other)]
    return stems(one) == stems(other) or (None not in known and known[0] == known[1])


def _same_amount(one: str, other: str) -> bool:
    sides = [_amount(text) for text in (one, other)]
    if all(isinstance(side, Amount) for side in sides):
        return _terms(sides[0]) == _terms(sides[1])
    blank = ("", "not stated", "to taste", "some")
    words = [re.sub(r"^(?:1|an?|the) |ful\b|-", "", fold(text)) for text in (one, other)]
    return words[0] == words[1] or (words[0] in blank and words[1] in blank)


def _is_amount(line: Any, read: Any) -> bool:
    """Whether the amount is the same, or stands beside the one that was taken, as a use does: "for dusting".

    A can with its size is as right as the size alone.
    """
    wanted = str(line.get("amount", ""))
    if (sized := re.fullmatch(r"1 can (.+)", str(read.get("amount", "")))) and _same_amount(
        wanted, sized[1]
    ):
        return True
    if wanted.startswith("for ") and wanted in str(read.get("note", "")):
        return True
    beside = re.findall(r"also given as ([^;]+)", str(read.get("note", "")))
    return any(_same_amount(wanted, said) for said in (str(read.get("amount", "")), *beside))


def _says_state(line: Any, item: str) -> bool:
    """Whether an unknown food is kept with the word that gold calls its state: "fine oatmeal"."""
    wanted, said = set(stems(str(line["food"]))), set(stems(item))
    return wanted <= said and said - wanted <= set(stems(str(line.get("state", ""))))


def _terms(amount: Any) -> list[tuple[object, object, str]]:
    sizes = ("large", "medium", "small", "each")
    return sorted(
        (t.low, t.high, "each" if t.unit.name in sizes else t.unit.name) for t in amount.terms
    )


def _amount(text: str) -> Amount | str:
    try:
        return parse_amount(text)
    except AmountProblem:
        return text


def _holds_state(line: Any, read: Any) -> bool:
    said = " ".join(str(read.get(key, "")) for key in ("state", "item", "note", "amount"))
    return set(_roots(str(line["state"]))) <= set(_roots(said))


def _roots(text: str) -> list[str]:
    """The words of a state without their endings and signs: "chopped, cold" has those of "cold, chopped"."""
    return [re.sub(r"(?:en|ed|d|ly)$", "", word.strip(",;:")) for word in stems(text)]


def _same_part(wanted: Any, read: str) -> bool:
    names = [wanted] if isinstance(wanted, str) else list(wanted)
    words = {word for name in names for word in stems(str(name))}
    found = set(stems(read))
    return bool(words & found) or (bool(words & BASES) and bool(found & BASES))


def _steps(sheet: Sheet, recipe: Any, formula: Any) -> None:
    wanted, found = (list(_single(steps)) for steps in (recipe.get("steps", []), formula.get("method", [])))  # fmt: skip
    for want, got in _aligned(wanted, found, _step_likeness):
        if want is None:
            sheet.mark("verb", False, f"no such step in the text: {got}")
            continue
        read = got or {}
        said = f"{want} read as {read or 'nothing'}"
        sheet.mark("verb", bool(got) and _same_verb(want["do"], read.get("do", "")), said)
        uses, used = (
            [_use(name) for name in step.get("uses") or [] if str(name) not in BASES]
            for step in (want, read)
        )
        if uses or used:
            sheet.mark("uses", _same_uses(uses, used), said)
        if want.get("for") or read.get("for"):
            sheet.mark("time", _same_time(str(want.get("for", "")), str(read.get("for", ""))), said)
        degrees = [str(want[key]) for key in ("at", "to", "core") if key in want]
        read_degrees = [str(read[key]) for key in ("at", "to", "core") if key in read]
        if degrees or read_degrees:
            sheet.mark("temperature", _same_degrees(degrees, read_degrees, read), said)


def _single(steps: Iterable[Any]) -> Iterator[Any]:
    """Steps of one verb each: "mix and sift" is two, the second with all that is said."""
    for step in steps:
        verbs = step["do"].split(" and ") if isinstance(step["do"], str) else [step["do"]]
        yield from ({"do": verb} for verb in verbs[:-1])
        yield {**step, "do": verbs[-1]}


def _step_likeness(want: Any, got: Any) -> float:
    verb = _same_verb(want["do"], got.get("do", ""))
    uses = {_use(name) for name in want.get("uses") or []}
    used = {_use(name) for name in got.get("uses") or []}
    shared = sum(any(_same_food(a, b) for b in used) for a in uses)
    alike = shared / max(len(uses | used), 1)
    times = bool(want.get("for")) and _same_time(str(want["for"]), str(got.get("for", "")))
    if not verb and not alike and not times:
        return 0.0
    return verb + alike + times / 2


def _same_verb(wanted: Any, read: str) -> bool:
    verbs = [wanted] if isinstance(wanted, str) else list(wanted)
    if heats_oven(read) and any(heats_oven(str(v)) or v in ("heat", "light", "set") for v in verbs):
        return True
    return any(_verb(str(verb)) == _verb(read) for verb in verbs)


def _verb(text: str) -> str:
    text = re.sub(r"^(?:let|leave)(?: it| them)?(?: to)? (?=[a-z])", "", fold(text))
    words = re.sub(r"\b(?:in|on|into|out|over|up|together|down|the|it|to|off|well)\b", " ", text)  # fmt: skip
    return " ".join(words.replace("-", " ").split())


def _use(name: Any) -> str:
    return _PORTION.sub("", str(name))


def _same_uses(wanted: Sequence[str], read: Sequence[str]) -> bool:
    def held(name: str, others: Sequence[str]) -> bool:
        return any(_same_food(name, other) or set(stems(name)) <= set(stems(other)) or set(stems(other)) <= set(stems(name)) for other in others)  # fmt: skip

    return all(held(n, read) for n in wanted) and all(held(n, wanted) for n in read)


def _same_time(wanted: str, read: str) -> bool:
    sides = []
    for text in (wanted, read):
        plain = _HEDGE.sub("", fold(text))
        try:
            read_as = parse_duration(plain)
            sides.append(f"{read_as.low_min} {read_as.high_min}")
        except AmountProblem:
            sides.append(plain)
    return sides[0] == sides[1]


def _same_degrees(wanted: Sequence[str], read: Sequence[str], step: Any) -> bool:
    pairs = [_celsius(text) for text in wanted], [_celsius(text) for text in read]
    if None in pairs[0]:  # in words: "moderate oven"
        words = set(re.findall(r"[a-z0-9]+", " ".join(wanted).lower())) - {"a", "an", "the"}
        said = " ".join(str(step.get(k, "")) for k in ("at", "to", "into", "on", "note")).lower()
        return words <= set(re.findall(r"[a-z0-9]+", said))
    return pairs[0] == pairs[1]


def _celsius(text: str) -> tuple[int, int] | None:
    try:
        read = parse_temperature(text)
    except AmountProblem:
        return None
    return round(float(read.low_celsius)), round(float(read.high_celsius))


def _yield_and_pans(sheet: Sheet, recipe: Any, formula: Any) -> None:
    if wanted := recipe.get("yield"):
        read = formula.get("yield", {})
        same = wanted.get("pieces") == read.get("pieces") and bool(
            set(stems(str(wanted.get("piece", "")))) & set(stems(str(read.get("piece", ""))))
            or not wanted.get("piece")
        )
        sheet.mark("yield", same, f"{wanted} read as {dict(read)}")
    places = [
        str(step[key])
        for step in formula.get("method", [])
        for key in ("into", "on", "with")
        if key in step
    ]
    places += map(str, formula.get("pans", []))
    for pan in recipe.get("pans", []):
        sheet.mark("pan", any(_same_pan(str(pan), place) for place in places), f"{pan} in {places}")


def _same_pan(wanted: str, read: str) -> bool:
    numbers = re.findall(r"[0-9]+(?:[./][0-9]+)?", wanted)
    there = re.findall(r"[0-9]+(?:[./][0-9]+)?", read)
    heads = {word for word in stems(wanted) if word.isalpha() and len(word) > 2}
    return set(numbers) <= set(there) and bool(heads & set(stems(read)))


def _paired(wanted: Sequence[Any], found: Sequence[Any]) -> Iterator[tuple[Any, Any]]:
    """Lines that are most alike, each once, wherever they stand in their lists; None for no partner."""
    likeness = {
        (i, j): like
        for i, want in enumerate(wanted)
        for j, got in enumerate(found)
        if (like := _line_likeness(want, got))
    }
    partner: dict[int, int] = {}
    for i, j in sorted(likeness, key=lambda pair: (-likeness[pair], abs(pair[0] - pair[1]), pair)):
        if i not in partner and j not in partner.values():
            partner[i] = j
    for i, want in enumerate(wanted):
        yield want, found[partner[i]] if i in partner else None
    yield from ((None, got) for j, got in enumerate(found) if j not in partner.values())


def _aligned(
    wanted: Sequence[Any], found: Sequence[Any], likeness: Callable[[Any, Any], float]
) -> Iterator[tuple[Any, Any]]:
    """Pairs in order with the greatest sum of likeness; None for what has no partner."""
    best = [[0.0] * (len(found) + 1) for _ in range(len(wanted) + 1)]
    for i in range(len(wanted) - 1, -1, -1):
        for j in range(len(found) - 1, -1, -1):
            like = likeness(wanted[i], found[j])
            paired = best[i + 1][j + 1] + like if like else -1.0
            best[i][j] = max(paired, best[i + 1][j], best[i][j + 1])
    i = j = 0
    while i < len(wanted) or j < len(found):
        like = likeness(wanted[i], found[j]) if i < len(wanted) and j < len(found) else 0.0
        if like and abs(best[i][j] - best[i + 1][j + 1] - like) < 1e-9:
            yield wanted[i], found[j]
            i, j = i + 1, j + 1
        elif i < len(wanted) and (j == len(found) or best[i][j] == best[i + 1][j]):
            yield wanted[i], None
            i += 1
        else:
            yield None, found[j]
            j += 1


def imported(path: str) -> Sequence[bytes]:
    """The formulas that import makes of a file."""
    from perflour.recipe.request import import_recipes

    return [one.content for one in import_recipes(path)]


def table(scores: Iterable[tuple[str, Score]]) -> str:
    """A row for each folder: right of asked, by field."""
    rows = ["| texts | " + " | ".join(FIELDS) + " |", "| --- |" + " ---: |" * len(FIELDS)]
    for name, score in scores:
        cells = (_share(score.right[field], score.asked[field]) for field in FIELDS)
        rows.append(f"| {name} | " + " | ".join(cells) + " |")
    return "\n".join(rows)


def _share(right: int, asked: int) -> str:
    return f"{right} of {asked} ({right / asked:.1%})" if asked else ""


def score_folder(folder: Path, gold_in: Path | None = None) -> Score:
    """All texts of a folder that have gold beside them, or in another folder."""
    total = Score(Counter(), Counter(), ())
    gold_in = gold_in or folder
    for path in sorted(folder.glob("*.txt")):
        if (gold_in / f"{path.stem}.yaml").exists():
            one = score_text(path, gold_in, imported)
            total = Score(total.asked + one.asked, total.right + one.right, total.missed + one.missed)  # fmt: skip
    return total


def main(words: Sequence[str]) -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--missed", action="store_true", help="list what was not read so")
    parser.add_argument("folders", nargs="*", type=Path)
    options = parser.parse_args(words)
    folders = {path.name: path for path in options.folders} or FOLDERS
    scores = [(name, score_folder(path)) for name, path in folders.items()]
    print(table(scores))
    if options.missed:
        print("\n".join(line for _, score in scores for line in score.missed))


if __name__ == "__main__":
    main(sys.argv[1:])

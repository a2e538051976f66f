"""Formulas with two sets of random changes, and an independent answer to what their merge must be.

The answer is worked out on plain dicts, field by field, and knows nothing of perflour's merge.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, field
from random import Random

# Names of the catalogue, no two of one ingredient.
ITEMS = ("bread flour", "rye flour", "butter", "granulated sugar", "egg", "baking powder", "salt", "whole milk", "rolled oats", "raisins", "walnuts", "cocoa powder", "honey", "water")  # fmt: skip
VERBS = ("soak", "preheat", "whisk", "cream", "beat in", "fold", "stir", "rest", "deposit", "bake", "cool")  # fmt: skip
PARTS = ("soaker", "batter")
STATES = ("soft", "melted", "cold, cubed", "sifted")
HEADER = {"title": "Trial", "class": "loaf-cake", "status": "draft", "origin": "own", "notes": "a"}

Fields = dict[str, str]


@dataclass
class Recipe:
    """A formula by what is in it; ``comments`` stand over what they are of, by its key.

    ``verbs`` are those of every step that ever was in it, ``commented`` is how often it was commented on.
    """

    header: Fields
    parts: dict[str, dict[str, Fields]]
    method: dict[str, Fields]
    comments: dict[tuple[str, ...], list[str]] = field(default_factory=dict)
    verbs: set[str] = field(default_factory=set)
    commented: int = 0


Key = tuple[str, ...]


def some_recipe(random: Random) -> Recipe:
    """A formula of two parts and some steps, comments over some of them."""
    items = random.sample(ITEMS, random.randint(4, 10))
    cut = random.randint(1, len(items) - 2)
    lists = {"soaker": items[:cut], "batter": items[cut:]}
    parts = {part: {name: some_line(random) for name in names} for part, names in lists.items()}
    verbs = sorted(random.sample(VERBS, random.randint(3, 8)), key=VERBS.index)
    method = {verb: some_step(random) for verb in verbs}
    recipe = Recipe(dict(HEADER), parts, method, verbs=set(method))
    for _ in range(random.randint(0, 5)):
        add_comment(recipe, random, "base")
    return recipe


def some_line(random: Random) -> Fields:
    return {"amount": f"{random.randint(1, 60) * 5} g"} | maybe(random, "state", STATES)


def some_step(random: Random) -> Fields:
    times = [f"{number} min" for number in range(1, 60)]
    return maybe(random, "for", times) | maybe(random, "until", ("smooth", "light", "done"))


def maybe(random: Random, key: str, values: tuple[str, ...] | list[str]) -> Fields:
    return {key: random.choice(values)} if random.random() < 0.5 else {}


def keys_of(recipe: Recipe) -> list[Key]:
    lines = [("line", part, name) for part, found in recipe.parts.items() for name in found]
    return [*lines, *(("step", verb) for verb in recipe.method), ("header", "title")]


def add_comment(recipe: Recipe, random: Random, who: str) -> None:
    key = random.choice(keys_of(recipe))
    recipe.commented += 1
    recipe.comments.setdefault(key, []).append(f"# {who} {recipe.commented}")


def changed(base: Recipe, random: Random, who: str) -> Recipe:
    """The formula with one to six changes of one person."""
    recipe = deepcopy(base)
    for _ in range(random.randint(1, 6)):
        random.choice(CHANGES)(recipe, random, who)
    return recipe


def change_header(recipe: Recipe, random: Random, who: str) -> None:
    key, values = random.choice(
        [("title", ("A", "B")), ("status", ("testing", "approved")), ("notes", ("b", "c"))]
    )
    recipe.header[key] = random.choice(values)


def change_line(recipe: Recipe, random: Random, who: str) -> None:
    line = random.choice([line for part in recipe.parts.values() for line in part.values()])
    if random.random() < 0.6:
        line["amount"] = f"{random.randint(1, 60) * 5} g"
    elif "state" in line and random.random() < 0.3:
        del line["state"]
    else:
        line[random.choice(("state", "note"))] = random.choice(STATES)


def add_line(recipe: Recipe, random: Random, who: str) -> None:
    part = recipe.parts[random.choice(PARTS)]
    used = {name for found in recipe.parts.values() for name in found}
    if free := [name for name in ITEMS if name not in used]:
        insert(part, random.choice(free), some_line(random), random.randint(0, len(part)))


def insert(into: dict[str, Fields], name: str, what: Fields, at: int) -> None:
    items = list(into.items())
    into.clear()
    into.update([*items[:at], (name, what), *items[at:]])


def remove_line(recipe: Recipe, random: Random, who: str) -> None:
    part = random.choice(PARTS)
    if len(recipe.parts[part]) > 1:
        name = random.choice(list(recipe.parts[part]))
        del recipe.parts[part][name]
        recipe.comments.pop(("line", part, name), None)


def shuffle_lines(recipe: Recipe, random: Random, who: str) -> None:
    part = recipe.parts[random.choice(PARTS)]
    items = list(part.items())
    random.shuffle(items)
    part.clear()
    part.update(items)


def change_step(recipe: Recipe, random: Random, who: str) -> None:
    if recipe.method:
        step = random.choice(list(recipe.method.values()))
        step[random.choice(("for", "until", "with"))] = f"{random.randint(1, 40)} min"


def add_step(recipe: Recipe, random: Random, who: str) -> None:
    own = VERBS[who == "ours" :: 2]  # never one step by both, never one removed: no moves here
    if free := [verb for verb in own if verb not in recipe.verbs]:
        verb, at = random.choice(free), random.randint(0, len(recipe.method))
        insert(recipe.method, verb, some_step(random), at)
        recipe.verbs.add(verb)


def remove_step(recipe: Recipe, random: Random, who: str) -> None:
    if recipe.method:
        verb = random.choice(list(recipe.method))
        del recipe.method[verb]
        recipe.comments.pop(("step", verb), None)


CHANGES = (change_header, change_line, change_line, add_line, remove_line, shuffle_lines, change_step, add_step, remove_step, add_comment)  # fmt: skip


def text_of(recipe: Recipe, style: int = 0) -> str:
    """The file; each unit in a form of its own that depends on the style alone."""
    form = _Form(recipe, style)
    text = "formula: trial\n"
    for key, value in recipe.header.items():
        text += form.above(("header", key), 0) + f"{key}: {form.word(key, value)}\n"
    text += "parts:\n"
    for part, lines in recipe.parts.items():
        text += f"{form.indent}- part: {part}\n{form.indent}  ingredients:\n"
        for name, line in lines.items():
            deeper = f"{form.indent}  {form.indent}"
            text += form.unit(("line", part, name), {"item": name} | line, deeper)
    text += "method:\n" if recipe.method else "method: []\n"
    for verb, step in recipe.method.items():
        text += form.unit(("step", verb), {"do": verb} | step, form.indent)
    return text


def units_of(recipe: Recipe, style: int) -> dict[Key, str]:
    """The text of every line and step, by its key."""
    form = _Form(recipe, style)
    deeper = f"{form.indent}  {form.indent}"
    lines = {
        (key := ("line", part, name)): form.unit(key, {"item": name} | line, deeper)
        for part, found in recipe.parts.items()
        for name, line in found.items()
    }
    steps = {
        (key := ("step", verb)): form.unit(key, {"do": verb} | step, form.indent)
        for verb, step in recipe.method.items()
    }
    return lines | steps


class _Form:
    """How a formula is typed; a class because every line asks for the same three things."""

    def __init__(self, recipe: Recipe, style: int) -> None:
        self.recipe = recipe
        self.style = style
        self.indent = " " * (2 + style % 3 if style else 2)

    def above(self, key: Key, column: int) -> str:
        return "".join(f"{' ' * column}{c}\n" for c in self.recipe.comments.get(key, ()))

    def word(self, key: str, value: str) -> str:
        quoted = Random(f"{self.style} {key} {value}").random() < 0.3 if self.style else False
        return f"'{value}'" if quoted or "," in value else value

    def unit(self, key: Key, fields: Fields, indent: str) -> str:
        in_block = self.style and Random(f"{self.style} {key}").random() < 0.4
        words = [f"{name}: {self.word(name, value)}" for name, value in fields.items()]
        body = f"\n{indent}  ".join(words) if in_block else f"{{{', '.join(words)}}}"
        return self.above(key, len(indent)) + f"{indent}- {body}\n"


@dataclass
class Answer:
    """What a merge must come to with conflicts settled one way, and the units in conflict."""

    recipe: Recipe
    conflicts: set[Key]


def answer(base: Recipe, mine: Recipe, other: Recipe) -> Answer:
    """The three-way merge of plain dicts, mine where there is a conflict."""
    conflicts: set[Key] = set()
    merged = Recipe({}, {}, {})
    open_lines = contradicted(base, mine, other)
    for key in HEADER:
        sides = [recipe.header[key] for recipe in (base, mine, other)]
        merged.header[key] = three_way(*sides)
        if is_conflict(*sides):
            conflicts.add(("header", key))
    for part in PARTS:
        sides = [recipe.parts[part] for recipe in (base, mine, other)]
        comments = [
            {name: r.comments.get(("line", part, name), []) for name in r.parts[part]}
            for r in (base, mine, other)
        ]
        units, found = merged_units(sides, comments)
        added = [[n for n in side if n not in sides[0]] for side in sides[1:]]
        own = [[n for n in here if n not in there] for here, there in (added, added[::-1])]
        if all(own) and any(n not in sides[1] and n not in sides[2] for n in sides[0]):
            found |= {*own[0], *own[1]}
            units = {name: unit for name, unit in units.items() if name not in own[1]}
        found |= {name for at, name in open_lines if at == part}
        units = {
            n: unit for n, unit in units.items() if (part, n) not in open_lines or n in sides[1]
        }
        left = {
            n for n in answer_part(sides, comments) if (part, n) not in open_lines or n in sides[2]
        }
        if not units or not left:
            units, found = sides[1], {*sides[1], *sides[2]}
        merged.parts[part] = units
        conflicts |= {("line", part, name) for name in found}
    sides = [recipe.method for recipe in (base, mine, other)]
    comments = [
        {verb: r.comments.get(("step", verb), []) for verb in r.method} for r in (base, mine, other)
    ]
    units, found = merged_units(sides, comments)
    order, clashing, left_out = order_of_steps(sides, comments)
    raw = {v for v in clashing if v in sides[1]}
    units |= {v: sides[1][v] for v in raw}
    merged.method = {v: units[v] for v in order if v in units and v not in left_out}
    conflicts |= {("step", verb) for verb in {*found, *clashing}}
    return Answer(merged, conflicts)


def contradicted(base: Recipe, mine: Recipe, other: Recipe) -> set[tuple[str, str]]:
    """The lines, by part and name, of what one side moved or replaced and the other did not leave alone."""
    sides = base, mine, other
    at = [{n: part for part, lines in r.parts.items() for n in lines} for r in sides]
    found: set[tuple[str, str]] = set()

    def alone(side: int, names: list[str]) -> list[tuple[str, str]]:
        return [(at[side][n], n) for n in names if at[3 - side].get(n) != at[side][n]]

    def fate(name: str, side: int) -> tuple[str, list[tuple[str, str]]]:
        part = at[0][name]
        if at[side].get(name) == part:
            line = sides[side].parts[part][name]
            words = [r.comments.get(("line", part, name), []) for r in (base, sides[side])]
            is_kept = line == base.parts[part][name] and {*words[1]} <= {*words[0]}
            return ("kept" if is_kept else "changed"), []
        if name in at[side]:
            return "moved", alone(side, [name])
        new = [n for n in sides[side].parts[part] if n not in base.parts[part] and n not in at[0]]
        return ("replaced" if new else "removed"), alone(side, new)

    for name in at[0]:
        fates = [fate(name, side) for side in (1, 2)]
        words = {word for word, _ in fates}
        lines = [*fates[0][1], *fates[1][1]]
        if "kept" in words or not words & {"moved", "replaced"}:
            continue
        if len(words) == 2 or all(own for _, own in fates):
            found |= {*lines}
    for name in at[1].keys() & at[2].keys() - at[0].keys():
        if at[1][name] != at[2][name]:
            found |= {(at[1][name], name), (at[2][name], name)}
    return found


def answer_part(sides: list[Units], comments: list[dict[str, list[str]]]) -> Units:
    """What is left of a part with conflicts settled for the other side."""
    return merged_units([sides[0], sides[2], sides[1]], [comments[0], comments[2], comments[1]])[0]


def three_way(base: str | None, mine: str | None, other: str | None) -> str | None:
    return other if mine == base else mine


def is_conflict(base: object, mine: object, other: object) -> bool:
    return mine != other and base not in (mine, other)


Units = dict[str, Fields]


def merged_units(
    sides: list[Units], comments: list[dict[str, list[str]]]
) -> tuple[Units, set[str]]:
    base, mine, other = sides
    merged: Units = {}
    conflicts: set[str] = set()
    for name in {**base, **mine, **other}:
        if name in mine and name in other:
            was = base.get(name, {})
            fields = {**was, **mine[name], **other[name]}
            three = {k: (was.get(k), mine[name].get(k), other[name].get(k)) for k in fields}
            merged[name] = {k: v for k, s in three.items() if (v := three_way(*s)) is not None}
            if any(is_conflict(*values) for values in three.values()):
                conflicts.add(name)
        elif name in mine or name in other:
            side, words = (mine, comments[1]) if name in mine else (other, comments[2])
            new_comment = set(words[name]) - set(comments[0].get(name, []))
            if name not in base:
                merged[name] = side[name]
            elif side[name] != base[name] or new_comment:
                conflicts.add(name)
                if name in mine:
                    merged[name] = mine[name]
    return merged, conflicts


def order_of_steps(
    sides: list[Units], comments: list[dict[str, list[str]]]
) -> tuple[list[str], set[str], set[str]]:
    """All steps in order; those whose place both took; those of them that are not mine."""
    base, mine, other = sides
    runs: list[dict[str, list[str]]] = []
    for side in (mine, other):
        after: dict[str, list[str]] = {}
        before = ""
        for verb in side:
            if verb in base:
                before = verb
            else:
                after.setdefault(before, []).append(verb)
        runs.append(after)
    touched = [
        {v for v in base if side.get(v) != base[v] or not {*words.get(v, ())} <= {*comments[0][v]}}
        for side, words in ((mine, comments[1]), (other, comments[2]))
    ]
    gaps = gaps_of(base, mine, touched[1], runs[0]) + gaps_of(base, other, touched[0], runs[1])
    order: list[str] = []
    clashing: set[str] = set()
    left_out: set[str] = set()
    for verb in ("", *base):
        order.append(verb)
        here, there = (run.get(verb, []) for run in runs)
        order += here + there
        is_open = any(verb in gap for gap in gaps)
        if (here and there) or is_open:
            clashing |= {*here, *there}
            left_out |= set(there)
    for verb in (v for gap in gaps for v in gap[1:] if v in mine or v in other):
        clashing.add(verb)
        left_out |= {verb} - set(mine)
    return order[1:], clashing, left_out


def gaps_of(
    base: Units, mine: Units, touched: set[str], after: dict[str, list[str]]
) -> list[list[str]]:
    """Steps of the base that mine replaced and other touched, behind the one before which mine kept."""
    gaps: list[list[str]] = [[""]]
    for verb in base:
        if verb in mine:
            gaps.append([verb])
        else:
            gaps[-1].append(verb)
    return [gap for gap in gaps if after.get(gap[0]) and any(verb in touched for verb in gap[1:])]

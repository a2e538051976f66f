"""A formula repository with a long history, made from a seed with `git fast-import`: quick, and always
the same bytes. Merges, renames, reverts, test bakes and several authors; all of it is invented.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from typing import TypeVar

from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from tests.conftest import GIT_ENVIRONMENT

AUTHORS = ("R", "second baker", "Q", "N")
FIRST_DAY = 1_767_600_000  # 5 January 2026, 08:00 UTC
KINDS = ("honey loaf", "seed loaf", "spice cake", "nut biscuit", "tea bun")
HOUSE = "house: Saltmarsh Lane\ntemperatures: any\n"


@dataclass(frozen=True)
class Plan:
    """How much history to make. ``renames``, ``reverts`` and ``swaps`` are numbers of commits."""

    seed: int = 1
    commits: int = 300
    formulas: int = 20
    bakes: int = 60
    merges: int = 12
    renames: int = 1
    reverts: int = 1
    swaps: int = 1


#: The history of tests/golden/history.md.
PLAN = Plan()


@dataclass(frozen=True)
class Recipe:
    """What varies in one formula; the rest of its text is the same for all."""

    id: str
    title: str
    grams: tuple[tuple[str, int], ...]
    soda: str = "1 tsp"
    oven: int = 175
    minutes: int = 40
    sign: str = "a skewer comes out clean"
    note: str = ""

    def text(self) -> str:
        lines = "".join(f"      - {{item: {item}, amount: {g} g}}\n" for item, g in self.grams)
        note = f"notes: {self.note}\n" if self.note else ""
        return f"""\
# yaml-language-server: $schema=../../schema/formula.schema.json
formula: {self.id}
title: {self.title}
class: loaf-cake
status: testing
origin: own
{note}yield: {{pieces: 2, piece: loaf}}
parts:
  - part: oat soaker
    kind: soaker
    ingredients:
      - {{item: rolled oats, amount: 80 g}}
      - {{item: buttermilk, amount: 150 g}}
  - part: batter
    kind: batter
    ingredients:
{lines}      - {{item: baking soda, amount: {self.soda}}}
      - {{item: egg, amount: 2 large}}
      - {{item: table salt, amount: 1/2 tsp}}
      - {{part: oat soaker, amount: all}}
method:
  - do: soak
    uses: [rolled oats, buttermilk]
    makes: oat soaker
    for: 90 min
    until: no loose liquid is left
  - {{do: preheat, to: {self.oven} °C}}
  - {{do: line, into: 1 loaf pan 23 x 13 cm, note: 'butter the pan, paper on the long sides'}}
  - do: whisk
    uses: [egg, table salt]
    with: balloon whisk
    for: 1-2 min
    until: smooth and glossy
  - {{do: stir, uses: [oat soaker], until: evenly spread}}
  - do: fold
    uses: [{", ".join(item for item, _ in self.grams)}, baking soda]
    with: spatula
    until: no dry streaks
    note: the sifted dry mix
  - do: bake
    at: {self.oven} °C
    for: {self.minutes}-{self.minutes + 5} min
    until: {self.sign}
  - {{do: cool, on: wire rack, for: 60 min}}
"""


Files = dict[str, str]
Held = TypeVar("Held")


@dataclass
class _Line:
    """A line of development: what its newest commit holds, by folder."""

    recipes: dict[str, Recipe]
    mark: int = 0


@dataclass
class Maker:
    """Writes the stream for `git fast-import` commit by commit."""

    plan: Plan
    chance: Random
    stream: list[bytes] = field(default_factory=list)
    marks: int = 0
    older: dict[str, list[Recipe]] = field(default_factory=dict)
    baked: dict[str, int] = field(default_factory=dict)

    def commit(
        self, line: _Line, subject: str, files: Files, merged: int = 0, moves: str = ""
    ) -> None:
        self.marks += 1
        author = self.chance.choice(AUTHORS)
        when = f"{author} <baker@example.org> {FIRST_DAY + 7200 * self.marks} +0100"
        words = [
            "commit refs/heads/main",
            f"mark :{self.marks}",
            f"author {when}",
            f"committer {when}",
        ]
        self.stream.append("\n".join([*words, _data(subject)]).encode())
        if line.mark:
            self.stream.append(f"from :{line.mark}\n".encode())
        if merged:
            self.stream.append(f"merge :{merged}\n".encode())
        self.stream.append(moves.encode())
        for path, text in files.items():
            self.stream.append(f"M 100644 inline {path}\n{_data(text)}".encode())
        self.stream.append(b"\n")
        line.mark = self.marks

    def start(self, line: _Line) -> None:
        self.commit(line, "Set up the house", {"formulas/house.yaml": HOUSE})
        for number in range(self.plan.formulas):
            kind = KINDS[number % len(KINDS)]
            id = f"{kind.replace(' ', '-')}-{number + 1}"
            recipe = Recipe(
                id,
                f"{kind.capitalize()} no. {number + 1}",
                (
                    ("all-purpose flour", 300 + 10 * (number % 7)),
                    ("dark brown sugar", 130 + 5 * (number % 11)),
                    ("unsalted butter", 113),
                ),
            )
            self.put(line, id, recipe, f"Start {recipe.title}")

    def put(self, line: _Line, folder: str, recipe: Recipe, subject: str, merged: int = 0) -> None:
        """Commit one formula as it is now."""
        line.recipes[folder] = recipe
        self.older.setdefault(folder, []).append(recipe)
        self.commit(line, subject, {_path(folder): recipe.text()}, merged)

    def change(self, line: _Line, folder: str) -> None:
        """One change as a baker makes it: an amount, the oven, a sign, or words alone."""
        recipe, chance = line.recipes[folder], self.chance
        kind = chance.choices(("grams", "soda", "oven", "sign", "item", "words"), (9, 1, 2, 1, 1, 2))[0]  # fmt: skip
        if kind == "grams":
            at = chance.randrange(len(recipe.grams))
            item, grams = recipe.grams[at]
            new = grams + chance.choice((-20, -12, -5, 5, 12, 20))
            changed = (*recipe.grams[:at], (item, new), *recipe.grams[at + 1 :])
            self.put(line, folder, replace(recipe, grams=changed), f"{item}: {grams} g to {new} g")
        elif kind == "soda":
            soda = chance.choice(("3/4 tsp", "1 1/4 tsp", "5 g", "1 tsp"))
            self.put(line, folder, replace(recipe, soda=soda), f"Soda to {soda}")
        elif kind == "oven":
            oven = recipe.oven + chance.choice((-10, -5, 5, 10))
            self.put(line, folder, replace(recipe, oven=oven), f"Bake at {oven} °C")
        elif kind == "sign":
            sign = chance.choice(("the top springs back", "the core reads 97 °C", "it smells done"))
            self.put(line, folder, replace(recipe, sign=sign), "Tell better when it is done")
        elif kind == "item":
            extra = (chance.choice(("walnuts", "raisins", "whole milk")), 40)
            kept = recipe.grams if len(recipe.grams) < 4 else recipe.grams[:3]
            self.put(line, folder, replace(recipe, grams=(*kept, extra)), f"Try {extra[0]}")
        else:
            note = f"Keeps {chance.randrange(2, 9)} days in a tin."
            self.put(line, folder, replace(recipe, note=note), "Say how long it keeps")

    def bake(self, line: _Line, folder: str) -> None:
        """Record a test bake of the revision that is there."""
        recipe, chance = line.recipes[folder], self.chance
        number = self.baked[folder] = self.baked.get(folder, 0) + 1
        name = f"2026-{number % 12 + 1:02}-{number // 12 + 10:02}"
        of = digest(read_formula(recipe.text().encode(), "formula.yaml"))
        verdict = chance.choice(("keep", "change", "change", "reject"))
        scores = ", ".join(
            f"{{taster: {taster}, crumb: {chance.randrange(3, 10)}, flavour: {chance.randrange(3, 10)}}}"
            for taster in "AB"
        )
        tried = "next: {try: a little less sugar, because: it browns early}\n"
        self.commit(
            line,
            f"Bake {recipe.title}",
            {
                f"formulas/{folder}/bakes/{name}.yaml": f'date: {name}\nformula: {recipe.id}\nof: "{of}"\nbaker: N\n'
                f"verdict: {verdict}\nscores: [{scores}]\n{tried if verdict == 'change' else ''}"
            },
        )

    def side_line(self, line: _Line) -> None:
        """A branch of two or three commits beside one on the main line, then the merge of both."""
        side = _Line(dict(line.recipes), line.mark)
        theirs, ours = self.chance.sample(sorted(line.recipes), 2)
        for _ in range(self.chance.randrange(2, 4)):
            self.change(side, theirs)
        self.change(line, ours)
        if self.chance.random() < 0.3:  # both sides changed one formula: the merge keeps both
            self.change(line, theirs)
            here, there = line.recipes[theirs], side.recipes[theirs]
            recipe = replace(there, oven=here.oven, soda=here.soda, note=here.note)
        else:
            recipe = side.recipes[theirs]
        self.put(line, theirs, recipe, f"Merge the work on {recipe.title}", merged=side.mark)

    def rename(self, line: _Line) -> None:
        folder = self.chance.choice(sorted(line.recipes))
        new = f"{folder}-renamed"
        recipe = replace(line.recipes.pop(folder), id=new)
        line.recipes[new] = recipe
        self.older[new] = self.older.pop(folder)
        self.baked[new] = self.baked.pop(folder, 0)
        moves = f"R formulas/{folder} formulas/{new}\n"
        self.commit(line, f"Rename {folder}", {_path(new): recipe.text()}, moves=moves)

    def revert(self, line: _Line) -> None:
        folder = max(sorted(self.older), key=lambda f: len(self.older[f]))
        self.put(line, folder, self.older[folder][-2], "Go back to the one before")

    def swap(self, line: _Line) -> None:
        """Two folders take each other's name, test bakes and all."""
        one, other = self.chance.sample(sorted(line.recipes), 2)
        _swap(self.older, one, other)
        _swap(self.baked, one, other)
        _swap(line.recipes, one, other)
        for folder in (one, other):
            line.recipes[folder] = replace(line.recipes[folder], id=folder)
        moves = "".join(
            f"R formulas/{a} formulas/{b}\n" for a, b in ((one, "x"), (other, one), ("x", other))
        )
        files = {_path(folder): line.recipes[folder].text() for folder in (one, other)}
        self.commit(line, f"Let {one} and {other} change names", files, moves=moves)


def _swap(held: dict[str, Held], one: str, other: str) -> None:
    mine, theirs = held.pop(one, None), held.pop(other, None)
    held.update({k: v for k, v in ((one, theirs), (other, mine)) if v is not None})


def _data(text: str) -> str:
    return f"data {len(text.encode())}\n{text}\n"


def _path(folder: str) -> str:
    return f"formulas/{folder}/formula.yaml"


def make_history(folder: Path, plan: Plan) -> Path:
    """A repository with exactly ``plan.commits`` commits on main, checked out in ``folder``."""
    maker = Maker(plan, Random(plan.seed))
    line = _Line({})
    maker.start(line)
    for turn in _turns(plan, maker.chance):
        if turn in ("bake", "change"):
            getattr(maker, turn)(line, maker.chance.choice(sorted(line.recipes)))
        else:
            getattr(maker, turn)(line)
    while maker.marks < plan.commits:
        maker.change(line, maker.chance.choice(sorted(line.recipes)))
    folder.mkdir(parents=True, exist_ok=True)
    for words, stdin in (
        (["init", "-q", "-b", "main"], b""),
        (["fast-import", "--quiet"], b"".join(maker.stream)),
        (["reset", "-q", "--hard", "main"], b""),
    ):
        subprocess.run(["git", *words], cwd=folder, input=stdin, env=GIT_ENVIRONMENT, check=True)
    return folder


def _turns(plan: Plan, chance: Random) -> Iterator[str]:
    """What happens, in a mixed order; the revert, swap and rename late, when there is a history.

    A merge comes with up to six commits, so that there are never more than planned.
    """
    left = plan.commits - plan.formulas - 1 - plan.bakes - 6 * plan.merges
    turns = ["change"] * max(0, left - plan.renames - plan.reverts - plan.swaps)
    turns += ["bake"] * plan.bakes + ["side_line"] * plan.merges
    chance.shuffle(turns)
    half = len(turns) // 2
    late = ["rename"] * plan.renames + ["revert"] * plan.reverts + ["swap"] * plan.swaps
    yield from turns[:half]
    yield from late
    yield from turns[half:]

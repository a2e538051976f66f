"""What several rules ask of a formula: which steps bake, which names are used or known, its revision."""

from __future__ import annotations

import os
from collections.abc import Sequence

from perflour.formula import verbs
from perflour.formula.digests import digest, earlier_digest
from perflour.formula.formula import Formula, Reading, Step, Use
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Temperature
from perflour.lint.rule import Context
from perflour.system.opening import lies_there
from perflour.system.paths import BAKES, FORMULA_FILE
from perflour.tuples import NamedTuple
from perflour.typed import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from perflour.records.bake import Bake

# Words of a class id: `pancake` and `cheesecake` are no cakes here, and some cakes balance otherwise.
CAKES = frozenset(("cake", "cakes", "cupcake", "cupcakes"))
OTHER_CAKES = frozenset(("pound", "crumb", "loaf"))


def balances_as_cake(context: Context) -> bool:
    """Whether the rules of cake balance hold: a cake by its class id, but no pound, crumb, loaf cake."""
    words = set(context.formula.product_class.lower().split("-"))
    return bool(words & CAKES) and not words & OTHER_CAKES


def approved_folder(context: Context) -> str | None:
    """The folder of an approved formula.yaml, with its test bakes; None for all others."""
    if context.formula.status != "approved":
        return None
    folder, name = os.path.split(context.path)
    return folder if name == FORMULA_FILE else None


def revision(context: Context) -> str:
    """The digest of the formula, as test bakes and the changelog name it."""
    return context.once(_revision)


def _revision(context: Context) -> str:
    return digest(context.formula)


def revision_marks(context: Context) -> tuple[str, str]:
    """The same, and what it was called when digests were reckoned otherwise."""
    return context.once(_revision_marks)


def _revision_marks(context: Context) -> tuple[str, str]:
    return revision(context), earlier_digest(context.formula)


def bakes_of_revision(context: Context, folder: str) -> Sequence[Bake]:
    """The test bakes in a formula's folder of exactly this revision."""
    if not lies_there(os.path.join(folder, BAKES)):  # no digest is reckoned for nothing
        return ()
    from perflour.records.bake import bakes_of  # only where there are some

    return bakes_of(folder, revision_marks(context))


def is_baked(context: Context) -> bool:
    """False only where the product class says that nothing is baked (icing, filling)."""
    product = context.house.classes.get(context.formula.product_class)
    return product is None or product.baked


class _Oven(NamedTuple):
    """The steps that bake, the indexes of the first and the last, and that of the first to heat an oven."""

    bakes: tuple[Step, ...]
    first_bake: int | None
    last_bake: int | None
    first_heated: int | None


def bakes(context: Context) -> tuple[Step, ...]:
    """The steps that bake."""
    return context.once(_oven).bakes


def first_bake(context: Context) -> int | None:
    """The index of the first step that bakes; None where none does."""
    return context.once(_oven).first_bake


def last_bake(context: Context) -> int | None:
    """The index of the last step that bakes; None where none does."""
    return context.once(_oven).last_bake


def first_heated(context: Context) -> int | None:
    """The index of the first step that heats an oven; None where none does."""
    return context.once(_oven).first_heated


def _oven(context: Context) -> _Oven:
    does = [step.do for step in context.formula.method]
    baking = [at for at, do in enumerate(does) if verbs.bakes(do)]
    heated = next((at for at, do in enumerate(does) if verbs.heats_oven(do)), None)
    steps = tuple([context.formula.method[at] for at in baking])
    return _Oven(steps, baking[0], baking[-1], heated) if baking else _Oven((), None, None, heated)


def temperatures(context: Context) -> list[Reading[Temperature]]:
    """The temperatures of all steps, in order of the file."""
    return context.once(_temperatures)


def _temperatures(context: Context) -> list[Reading[Temperature]]:
    return [reading for step in context.formula.method for reading in step.temperatures]


def main_name(context: Context, name: str) -> str:
    """A name as names are compared: the catalogue's main name where it is known."""
    return context.catalogue.main_name(name)


def names_by_step(context: Context) -> list[list[str]]:
    """For each step the main names of what it uses, in order of its `uses`."""
    return context.once(_names_by_step)


def _names_by_step(context: Context) -> list[list[str]]:
    main_name = context.catalogue.main_name
    return [
        [main_name(use.name) for use in step.uses] if step.uses else []
        for step in context.formula.method
    ]


def names_by_part(context: Context) -> list[list[str]]:
    """For each part the main names of its lines, in order of the list."""
    return context.once(_names_by_part)


def _names_by_part(context: Context) -> list[list[str]]:
    main_name = context.catalogue.main_name
    return [[main_name(line.name) for line in part.lines] for part in context.formula.parts]


def portioned(context: Context) -> list[Use]:
    """The uses that say how much they take, in words or in figures."""
    return context.once(_portioned)


def _portioned(context: Context) -> list[Use]:
    return [use for step in context.formula.method for use in step.uses if use.said != use.name]


def used_names(context: Context) -> set[str]:
    """Every name in the `uses` of the steps, as written and as the catalogue's main name."""
    return context.once(_used_names)


def _used_names(context: Context) -> set[str]:
    used = {fold(use.name) for step in context.formula.method for use in step.uses}
    return used.union(*names_by_step(context))


def listed_names(context: Context) -> set[str]:
    """Every item and part on the lists, as written and as the catalogue's main name."""
    return context.once(_listed_names)


def _listed_names(context: Context) -> set[str]:
    names = {fold(line.name) for part in context.formula.parts for line in part.lines}
    return names.union(*names_by_part(context))


def known_names(context: Context) -> set[str]:
    """Every name that a step can use: what is listed, and the parts."""
    parts = {fold(part.name) for part in context.formula.parts}
    return listed_names(context) | parts | {main_name(context, name) for name in parts}


def problems(context: Context) -> list[Reading[Any]]:
    """Every amount, temperature and time that could not be read, in order of the file."""
    return context.once(_problems)


def _problems(context: Context) -> list[Reading[Any]]:
    formula = context.formula
    weight = formula.yields.scaling_weight if formula.yields else None
    readings = (*temperatures(context), *[step.time for step in formula.method], weight)
    if context.balance.unweighed or any(one.problem for one in readings if one):
        return unread(formula)
    return []


def unread(formula: Formula) -> list[Reading[Any]]:
    """Every amount, temperature and time of a formula that could not be read, in order of the file."""
    weight = formula.yields.scaling_weight if formula.yields else None
    found: list[Reading[Any]] = [weight] if weight and weight.problem else []
    found += [ln.amount for part in formula.parts for ln in part.lines if ln.amount.problem]
    for step in formula.method:
        for reading in step.temperatures:
            if reading.problem:
                found.append(reading)
        if step.time and step.time.problem:
            found.append(step.time)
    return found

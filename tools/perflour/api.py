"""What scripts may rely on: a formula by its path, its bytes or its balance, to frozen values.

Each function is one step of what the command line does; nothing is printed, and nothing is kept between
calls but what is looked at anew where a file has changed. ``formula`` is a path (a file, or the folder
of one) or the bytes of a file; ``differences`` takes a Balance too. Without ``kitchen`` the house's files
above the path count; above the working folder for bytes.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from perflour.balance.balance import Balance
from perflour.kitchen.house import Kitchen, kitchen_for

if TYPE_CHECKING:
    from perflour.diff.difference import Difference
    from perflour.history.changelog import Changelog
    from perflour.recipe.request import Import
    from perflour.release.release import Release
    from perflour.release.review import Review
    from perflour.result import Result
    from perflour.scale.request import Rescaled

Named = str | os.PathLike[str]
Given = Named | bytes
#: A number as a value, or as a baker writes it: 2.5, "1 1/2".
Number = float | str


class Target(TypedDict, total=False):
    """What a formula is scaled to, as in ScaleRequest; masses have their unit with them: "2 kg"."""

    times: Number
    batch: str
    pieces: int | str
    each: str
    flour: str
    pans: str
    from_pans: str
    fill: Number
    density: Number
    have: str | Sequence[str]
    resolution: str
    whole_eggs: bool
    household: bool


class Beside(TypedDict, total=False):
    """What is said of a recipe beside its file, as in ImportRequest."""

    kind: str
    into: Named
    title: str
    product_class: str
    citation: str
    reference: bool
    recipe: str
    sheet: str
    columns: str


def weigh(formula: Given, kitchen: Kitchen | None = None) -> Balance:
    """Masses in g and percent of the basis of every line, part and total.

    Raises CannotRun where there is no such file, FileProblem where it is no valid formula.
    """
    from perflour.balance.files import weigh_file

    content, path = _content(formula)
    return weigh_file(content, path, kitchen or kitchen_for(path))


def check(*names: Named, jobs: int = 0) -> tuple[Result, ...]:
    """What lint finds in files and folders (formulas/ without any), on ``jobs`` cores, 0 for all.

    Whatever a file holds is a result. Raises CannotRun where there is no such file.
    """
    from perflour.lint.run import check_names

    return check_names(_names(names), jobs, remember=False).results


def differences(before: Given | Balance, after: Given | Balance, *names: Named) -> list[Difference]:
    """What moved between two formulas, or with ``names`` between two revisions of what lies there.

    Percent of the basis, masses in g, by importance; empty where nothing moved. Raises CannotRun for a
    file or revision that is not there, FileProblem for bytes that are no valid formula.
    """
    from perflour.diff import sides
    from perflour.diff.difference import difference_between

    if isinstance(before, Balance | bytes) or isinstance(after, Balance | bytes):
        old, new = (one if isinstance(one, Balance) else weigh(one) for one in (before, after))
        found = difference_between(old, new, "", kitchen_for(_WORKING).house)
        return [] if found.is_empty else [found]
    if names:
        return sides.differences([str(before), str(after)], _names(names))
    return sides.differences([_file(before), _file(after)], None)


def formatted(formula: Given, kitchen: Kitchen | None = None) -> bytes:
    """The file in the house format, comments and all it says kept; nothing is written.

    Raises CannotRun where there is no such file, FileProblem where it is no valid formula.
    """
    from perflour.tidy.house_format import format_formula

    content, path = _content(formula)
    return format_formula(content, path, kitchen or kitchen_for(path))


def rescaled(formula: Given, kitchen: Kitchen | None = None, **asked: Unpack[Target]) -> Rescaled:
    """A formula for another batch: ``times=2``, ``pieces=24`` with ``each="60 g"``, ``batch="2 kg"``,
    ``flour="500 g"``, ``pans="2 round 20 x 5 cm"`` (``fill`` a share, ``density`` in g per ml, or
    ``from_pans``) or ``have="egg=3 large"``, one or several; ``resolution="5 g"`` is the scale's step.

    The new file, both balances, and what rounding did to the ratios. Raises CannotRun for what cannot
    be read or met, FileProblem where it is no valid formula.
    """
    from perflour.scale.request import ScaleRequest, scale_source

    content, path = _content(formula)
    kitchen = kitchen or kitchen_for(path)
    return scale_source(content, weigh(content, kitchen), kitchen, ScaleRequest(**_in_words(asked)))


def imported(path: Named, **asked: Unpack[Beside]) -> Import:
    """The formula in a recipe as people write it: text, web page, PDF, CSV or XLSX; nothing is written.

    ``title``, ``product_class`` and ``citation`` are the formula's, ``into`` the folder whose house counts;
    as a ``reference`` it is kept as somebody else's, to compare with; ``kind`` is text, page, sheet or pdf, else told from the file; ``recipe`` names one of several,
    ``sheet`` and ``columns`` say where a workbook holds it. ``unclear`` of what comes back says what
    was not understood. Raises CannotRun for no recipe.
    """
    from perflour.recipe.request import ImportRequest, import_recipe

    return import_recipe(os.fspath(path), ImportRequest(**_in_words(asked)))


def changelogs(*names: Named) -> list[Changelog]:
    """The iterations of each formula with their test bakes, from the history that git keeps.

    Raises CannotRun outside a repository.
    """
    from perflour.history.changelog import changelogs

    return changelogs(_names(names), remember=False)


def released(span: str, *names: Named) -> Release:
    """What is new, changed, approved or retired between two tags or revisions, ``FROM..TO``.

    Raises CannotRun for a revision that is not there.
    """
    from perflour.release.release import release

    return release(span, _names(names))


def reviewed(span: str, *names: Named) -> Review:
    """What a branch changes, ``BASE..HEAD``, and what stands against it.

    Raises CannotRun for a revision that is not there.
    """
    from perflour.release.review import review

    return review(span, _names(names))


def _in_words(asked: Mapping[str, object]) -> dict[str, Any]:
    """Values as the words that requests are made of; None is not said, and yes or no stay."""
    return {name: _word(name, value) for name, value in asked.items() if value is not None}


def _word(name: str, value: object) -> object:
    if name == "have":  # any number of words, a single one by itself too
        return (value,) if isinstance(value, str) else tuple(value)  # type: ignore[arg-type]
    if isinstance(value, os.PathLike):
        return os.fspath(value)
    return value if isinstance(value, bool) else str(value)


#: Where a formula given by its bytes would stand.
_WORKING = "formula.yaml"


def _content(formula: Given) -> tuple[bytes, str]:
    """A formula's bytes, and the path that it is told under."""
    from perflour.system.files import read_bytes

    if isinstance(formula, bytes):
        return formula, _WORKING
    path = _file(formula)
    return read_bytes(path), path


def _file(formula: Given) -> str:
    from perflour.system.paths import FORMULA_FILE

    path = Path(os.fsdecode(formula))
    return str(path / FORMULA_FILE if os.path.isdir(path) else path)


def _names(names: tuple[Named, ...]) -> list[str]:
    from perflour.system.files import default_names

    return [os.fspath(name) for name in names] or default_names()

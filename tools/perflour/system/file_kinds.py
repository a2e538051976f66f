"""The kinds of file that a formula repository holds, one row each.

A new kind costs its row here, schema/NAME.schema.json and, where the schema does not say all that can be
wrong, a reader; what else knows the kinds (folders searched, lint, hooks, editors, docs) takes them from here.
"""

import os

from perflour.system.paths import (
    BAKES,
    BOOK_FILE,
    FORMULA_FILE,
    HOUSE_FILE,
    INGREDIENTS_FILE,
    PRICES_FILE,
    SESSIONS,
    TRIAL_FILE,
    TRIALS,
)
from perflour.tuples import NamedTuple

#: Stands for the name of a file in a folder where every YAML file is of one kind.
ANY_NAME = "DATE.yaml"


class FileKind(NamedTuple):
    """One kind of file; ``name`` is that of its schema too.

    ``stands`` is where it stands below the kitchen's folder, ``hook`` the one of
    .pre-commit-hooks.yaml that lints it, ``of_kitchen`` whether formulas are judged by it. ``reader`` is
    a ``module:function`` that takes content, path and catalogue and gives something with ``results``:
    named and not imported, since rooms above own it and few runs meet such a file.
    """

    name: str
    stands: str
    hook: str = "perflour-lint"
    of_kitchen: bool = False
    reader: str = ""

    @property
    def file(self) -> str:
        """The name of such a file, ANY_NAME where its folder says what it is."""
        return self.stands.rpartition("/")[2]

    @property
    def folder(self) -> str:
        """The name of the folder whose files are all of this kind; empty where the name says it."""
        return self.stands.split("/")[-2] if self.file == ANY_NAME else ""


FILE_KINDS = (
    FileKind("formula", f"<formula-id>/{FORMULA_FILE}"),
    FileKind("bake", f"<formula-id>/{BAKES}/{ANY_NAME}", hook="perflour-bake-record"),
    FileKind("session", f"{SESSIONS}/{ANY_NAME}", hook="perflour-bake-record"),
    FileKind(
        "trial",
        f"{TRIALS}/<trial-id>/{TRIAL_FILE}",
        hook="perflour-bake-record",
        reader="perflour.designs.trial_file:trial_in",
    ),
    FileKind("house", HOUSE_FILE, of_kitchen=True),
    FileKind("catalogue", INGREDIENTS_FILE, of_kitchen=True),
    FileKind("prices", PRICES_FILE, reader="perflour.kitchen.prices:price_list"),
    FileKind("book", BOOK_FILE, reader="perflour.cookbook.book_file:book_file"),
)
BY_NAME = {kind.name: kind for kind in FILE_KINDS}
#: Files that say by their name what they are, and folders that say it of every YAML file in them.
BY_FILE = {kind.file: kind.name for kind in FILE_KINDS if not kind.folder}
BY_FOLDER = {kind.folder: kind.name for kind in FILE_KINDS if kind.folder}
#: By which all formulas below their folder are judged.
KITCHEN_FILES = tuple([kind.file for kind in FILE_KINDS if kind.of_kitchen])


def kind_of(path: str) -> str:
    """Which kind of file a path holds, by its name and folder; a formula where neither says it."""
    folder, name = os.path.split(path)
    if name == FORMULA_FILE or (name == TRIAL_FILE and not _is_of_a_trial(folder)):
        return "formula"
    return BY_FOLDER.get(os.path.basename(folder)) or BY_FILE.get(name, "formula")


def _is_of_a_trial(folder: str) -> bool:
    """Whether a folder is that of a planned trial: elsewhere a formula may be called so."""
    return os.path.basename(os.path.dirname(folder)) == TRIALS

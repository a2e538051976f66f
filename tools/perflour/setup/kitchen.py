"""A repository for a test kitchen: house file, schemas, editors, hooks, CI, attributes. Nothing is written over."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from perflour.documents.schema import SCHEMAS, schema_file
from perflour.documents.writer import editor_line, tidy
from perflour.result import CannotRun, request_field
from perflour.setup.git import ATTRIBUTES, set_up, setup_for
from perflour.system import git
from perflour.system.file_kinds import FILE_KINDS
from perflour.system.opening import make_folder
from perflour.system.paths import FORMULAS
from perflour.system.writing import write_new

_DATA = os.path.join(os.path.dirname(os.path.dirname(__file__)), "data", "kitchen")
#: A clone on Windows gets the same bytes; files with other line ends are read as well, and say the same.
LINE_ENDS = (
    "# one line end on every system\n*.yaml text eol=lf\n*.md text eol=lf\n*.json text eol=lf\n"
)
#: Where an editor looks for what makes it start `perflour editor` in a repository, and the file in our data.
EDITORS = {
    "helix": (".helix/languages.toml", "helix-languages.toml"),
    "neovim": (".nvim.lua", "nvim.lua"),
}
_CI = {"github": ".github/workflows/formulas.yml", "gitlab": ".gitlab-ci.yml"}


@dataclass(frozen=True)
class Started:
    """What was done: files written and kept, as seen from ``folder``; what git was told."""

    folder: Path
    name: str
    new_repository: bool
    written: tuple[str, ...]
    kept: tuple[str, ...]
    git: tuple[str, ...]


def start_kitchen(folder: Path, name: str = "", host: str = "none") -> Started:
    """Set a folder up as a formula repository; what is there already stays as it is.

    ``name`` is the kitchen's, else the folder's; ``host`` is github, gitlab or none. Raises CannotRun.
    """
    kitchen = _checked_name(name or folder.absolute().name.replace("-", " "))
    files = dict(_files(kitchen, host))
    new = _is_outside_repositories(folder)
    try:
        make_folder(str(folder))
    except OSError as error:
        raise CannotRun(f"{folder}: cannot be made ({error.strerror}); name another") from None
    if new:
        git.start_repository(folder)
    written: list[str] = []
    kept: list[str] = []
    for path, content in files.items():
        (written if _write(folder, path, content) else kept).append(path)
    done = set_up(setup_for(folder, os.fspath(folder / FORMULAS)))
    return Started(folder, kitchen, new, tuple(written), tuple(kept), tuple(done))


def _is_outside_repositories(folder: Path) -> bool:
    """Whether a repository has to be started. Raises CannotRun below the top of another one."""
    there = next(
        path for path in (folder.absolute(), *folder.absolute().parents) if os.path.isdir(path)
    )
    if not git.in_repository(there):
        return True
    top = git.find_repository(there).top
    if top.resolve() != folder.resolve():
        raise CannotRun(
            f"{folder}: lies inside the repository {top}; name its top folder, or one outside it"
        )
    return False


def _checked_name(name: str) -> str:
    """A name that can stand in YAML and Markdown as it is. Raises CannotRun."""
    tidied = tidy(name)
    if (
        not tidied
        or len(tidied) > 200
        or not tidied.isprintable()
        or set(tidied) & set("\"'\\`[]{}")
    ):
        raise CannotRun(
            f"'{tidied}' cannot be the name of a kitchen; say {request_field('name')} with letters and spaces"
        )
    return tidied


def _files(kitchen: str, host: str) -> Iterator[tuple[str, str]]:
    """Path below the folder and text of every file."""
    for kind in FILE_KINDS:
        if kind.of_kitchen:
            head = editor_line(f"../schema/{schema_file(kind.name)}")
            text = _template(kind.file).replace("{{ kitchen }}", f'"{kitchen}"')
            yield f"{FORMULAS}/{kind.file}", f"{head}\n{text}"
    yield "README.md", _template("README.md").replace("{{ kitchen }}", kitchen)
    yield ATTRIBUTES, LINE_ENDS
    yield ".pre-commit-config.yaml", _template("pre-commit-config.yaml")
    for editor, (path, _) in EDITORS.items():
        yield path, editor_settings(editor)
    if host in _CI:
        yield _CI[host], ci_text(host)
    for name in schema_names():
        yield f"schema/{name}", _read(os.path.join(SCHEMAS, name))


def schema_names() -> list[str]:
    """The schema files that a repository holds copies of, so that editors find them without a network."""
    return sorted(schema_file(kind.name) for kind in FILE_KINDS)


def ci_text(host: str) -> str:
    """docs/ci/HOST.yml as it stands in a repository: its first line no longer says where to copy it."""
    here = os.path.dirname(os.path.dirname(__file__))
    packaged = os.path.join(here, "ci")
    folder = packaged if os.path.isdir(packaged) else os.path.join(here, "..", "..", "docs", "ci")
    first, rest = _read(os.path.join(folder, f"{host}.yml")).split("\n", 1)
    does = first.partition(": ")[2]
    return f"# {does[:1].upper()}{does[1:]} PERFLOUR says where your team keeps perflour.\n{rest}"


def editor_settings(editor: str) -> str:
    """What makes an editor start our server, as it stands in a repository."""
    return _template(EDITORS[editor][1])


def _template(name: str) -> str:
    return _read(os.path.join(_DATA, name))


def _read(path: str) -> str:
    with open(path, encoding="utf-8", newline="") as file:
        return file.read()


def _write(folder: Path, name: str, text: str) -> bool:
    """Whether the file was written; one that is there stays. Raises CannotRun."""
    path = folder / name
    try:
        make_folder(str(path.parent))
        if os.path.lexists(path):
            return False
        write_new(path, text.encode())
    except FileExistsError:
        return False
    except OSError as error:
        raise CannotRun(
            f"{path}: cannot be written ({error.strerror}); check the folder and its rights"
        ) from None
    return True

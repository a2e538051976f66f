"""What `review` and `release` read of a stranger's commit stays in a folder of its own, which is on no disk."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.result import CannotRun
from perflour.system.checkout import followed, refuse_strange
from perflour.system.held import holding
from perflour.system.opening import (
    COMMITS,
    Refused,
    is_file,
    is_folder,
    is_there,
    names_in,
    read,
    read_beside,
)
from tests.conftest import formula_text, git, run_cli
from tests.hostile.crafted import FILE, FOLDER, LINK, Entry, commit_of, put_on

LOAF = formula_text("{item: all-purpose flour, amount: 500 g}").encode()
PLAIN: dict[bytes, Entry] = {b"trial": (FOLDER, {b"formula.yaml": (FILE, LOAF)})}


def branch(folder: Path, entries: dict[bytes, Entry]) -> None:
    """main with one formula, and a branch `strange` with more."""
    first = commit_of(folder, {b"formulas": (FOLDER, PLAIN)})
    put_on(folder, "main", first)
    git(folder, "reset", "-q", "--hard", "main")
    put_on(folder, "strange", commit_of(folder, {**entries, b"formulas": (FOLDER, PLAIN)}, first))


@pytest.mark.parametrize("command", [("review", "main..strange"), ("release", "main..strange")])
@pytest.mark.parametrize("way", ["absolute", "up", "up in the middle", "git folder", "empty", "long"])  # fmt: skip
def test_a_path_that_leads_elsewhere_is_refused(
    repository: Path, tmp_path_factory: pytest.TempPathFactory, command: tuple[str, ...], way: str
) -> None:
    outside = tmp_path_factory.mktemp("outside")
    name = {
        "absolute": f"{outside}/formula.yaml".encode(),
        "up": b"../../" + str(outside).encode() + b"/formula.yaml",
        "up in the middle": b"a/../../../.." + str(outside).encode() + b"/formula.yaml",
        "git folder": b".GIT/formula.yaml",
        "empty": b"a//formula.yaml",
        "long": b"n" * 300 + b"/formula.yaml",
    }[way]
    branch(repository, {name: (FILE, LOAF)})
    done = run_cli(*command, "--paths", ".", cwd=repository)
    assert done.code == 2, done.all
    assert done.err.count("\n") == 1
    assert list(outside.iterdir()) == []


@pytest.mark.parametrize(
    "path", ["/a", "", "a//b", "./a", "../a", "a/..", "a/.git/b", ".Git", "n" * 256, "a\0b"]
)
def test_only_plain_relative_paths_are_held(path: str) -> None:
    with pytest.raises(CannotRun):
        refuse_strange(["a/formula.yaml", path])


def test_no_file_takes_the_place_of_a_folder() -> None:
    strange = {"a/formula.yaml": b"first", "a/formula.yaml/b": b"second"}
    with pytest.raises(CannotRun, match="is a file and a folder"), holding("c0ffee", strange):
        pass
    assert not COMMITS


def test_a_commit_is_read_like_a_folder_while_it_is_held(tmp_path: Path) -> None:
    with holding("c0ffee", {"a/formula.yaml": b"flour", "house.yaml": b"house"}) as held:
        top = held.top
        assert (read(f"{top}/a/formula.yaml"), names_in(f"{top}/a")) == (b"flour", ["formula.yaml"])
        assert is_file(f"{top}/house.yaml") and is_folder(f"{top}/a") and is_there(f"{top}/.git")
        assert not is_file(f"{top}/a") and not is_folder(f"{top}/house.yaml")
        assert names_in(f"{top}/none") == names_in(f"{top}/house.yaml") == []
        with pytest.raises(FileNotFoundError):
            read(f"{top}/a/bakes/2026-03-14.yaml")
        with pytest.raises(Refused, match="is a folder"):
            read(f"{top}/a")
        with pytest.raises(Refused, match="is larger"):
            read(f"{top}/house.yaml", most=3)
        (tmp_path / "secret").write_text("root:")
        for path in (f"{top}/../../..{tmp_path}/secret", str(tmp_path / "secret")):
            with pytest.raises(Refused, match="outside the repository"):
                read_beside(f"{top}/a/formula.yaml", path)
    assert not is_there(top)


LINKS: list[tuple[str, str, str]] = [
    ("other/formula.yaml", "../plain/formula.yaml", "plain"),
    ("other/formula.yaml", "../deep/formula.yaml", "plain"),  # a link to a link
    ("other/formula.yaml", "../way/formula.yaml", "plain"),  # behind a link of a folder
    ("other/formula.yaml", "/etc/passwd", "leads out"),
    ("other/formula.yaml", "../../etc/passwd", "leads out"),
    ("other/formula.yaml", "formula.yaml", "nowhere"),
    ("other/formula.yaml", "../plain", "nowhere"),
    ("other/bakes", "/etc", "leads out"),
]


@pytest.mark.parametrize(("path", "target", "wanted"), LINKS)
def test_a_link_of_a_commit_is_followed_where_it_stays_inside(
    path: str, target: str, wanted: str
) -> None:
    files = {"plain/formula.yaml": "plain"}
    links = {"deep/formula.yaml": "../plain/formula.yaml", "way": "plain", path: target}
    found, refused = followed(files, links)
    said = [r.message for r in refused if r.place.path == path]
    if wanted == "plain":
        assert (found[path], said) == ("plain", [])
    else:
        assert path not in found
        assert wanted in said[0]


def test_records_behind_a_linked_folder_are_those_of_the_commit() -> None:
    files = {"a/bakes/2026-03-14.yaml": "bake", "a/bakes/note.txt": "note"}
    found, refused = followed(files, {"b/bakes": "../a/bakes"})
    assert (found, refused) == ({"b/bakes/2026-03-14.yaml": "bake"}, ())


def test_a_commit_of_a_link_is_not_read_through(repository: Path) -> None:
    branch(repository, {b"other": (FOLDER, {b"formula.yaml": (LINK, b"/etc/passwd")})})
    done = run_cli("review", "main..strange", "--paths", ".", cwd=repository)
    assert "root:" not in done.all
    assert "leads out of the repository" in done.out
    assert done.code == 1

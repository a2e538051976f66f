"""Formulas and test bakes that stand as an earlier run met them are not read for a changelog; all others are."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from perflour.history import changelog_files
from perflour.history.changelog import Changelog
from perflour.history.changelog_files import Told, told
from perflour.report.forms import maker
from perflour.system import cache, unchanged
from tests.history.made_history import Plan, make_history

pytestmark = pytest.mark.xdist_group("history")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    plan = Plan(commits=30, formulas=3, bakes=6, merges=2)
    return make_history(tmp_path_factory.mktemp("signed") / "kitchen", plan)


@pytest.fixture
def kitchen(made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A kitchen in which no file counts as young."""
    shutil.copytree(made, tmp_path / "kitchen")
    monkeypatch.setattr(unchanged, "YOUNG_NS", -(10**18))
    monkeypatch.chdir(tmp_path / "kitchen")
    return tmp_path / "kitchen"


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files whose contents were asked for to know a changelog."""
    paths: list[str] = []

    def content_of(path: str) -> bytes:
        paths.append(os.path.relpath(path))
        return real(path)

    real = changelog_files.content_of
    monkeypatch.setattr(changelog_files, "content_of", content_of)
    return paths


def told_here(remember: bool = True) -> list[Told]:
    return told(["formulas"], "markdown", maker("changelog", "markdown"), jobs=1, remember=remember)


def a_bake() -> Path:
    return min(Path("formulas").glob("*/bakes/*.yaml"))


def its_formula() -> Path:
    return a_bake().parent.parent / "formula.yaml"


def edited() -> None:
    path = its_formula()
    text = path.read_text("utf-8")
    path.write_text(
        text.replace("unsalted butter, amount: ", "unsalted butter, amount: 1"), "utf-8"
    )
    assert path.read_text("utf-8") != text


def of_one_size_and_time() -> None:
    """Another date in a record, its time set back: the time of change tells."""
    bake, at = a_bake(), os.stat(a_bake())
    text = bake.read_text("utf-8")
    bake.write_text(text.replace("date: 20", "date: 19", 1), encoding="utf-8")
    os.utime(bake, ns=(at.st_atime_ns, at.st_mtime_ns))
    after = os.stat(bake)
    assert (at.st_size, at.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    assert text != bake.read_text("utf-8")


def one_more() -> None:
    shutil.copy(a_bake(), a_bake().with_name("2031-01-01.yaml"))


CHANGES: dict[str, Callable[[], object]] = {
    "an edit": edited,
    "a record of one size and time": of_one_size_and_time,
    "one more record": one_more,
    "one record less": lambda: a_bake().unlink(),
    "a file that is moved there": lambda: os.replace(max(Path("formulas").glob("*/bakes/*.yaml")), a_bake()),
}  # fmt: skip


def test_what_stands_as_before_is_not_read(kitchen: Path, read: list[str]) -> None:
    first = told_here()
    assert len(read) > 3
    read.clear()
    assert told_here() == first
    assert read == []


@pytest.mark.parametrize("what", CHANGES)
def test_what_changed_is_read_again(what: str, kitchen: Path, read: list[str]) -> None:
    before = told_here()
    folder = f"{its_formula().parent}{os.sep}"
    CHANGES[what]()
    read.clear()
    after = told_here()
    assert after != before
    assert after == told_here(remember=False)
    assert any(path.startswith(folder) for path in read)
    read.clear()
    assert told_here() == after
    assert read == []


def test_a_record_behind_a_link_is_read_each_time(kitchen: Path, read: list[str]) -> None:
    """It may lead elsewhere by now."""
    bake, folder = a_bake(), a_bake().parent.parent
    bake.symlink_to(bake.rename(kitchen / "kept.yaml"))
    for _ in range(2):
        read.clear()
        assert told_here() == told_here(remember=False)
        assert any(path.startswith(str(folder)) for path in read)


def test_a_text_is_told_again_as_it_was_but_for_one_with_photos(kitchen: Path) -> None:
    """A photo is in a page of HTML, and may be another tomorrow."""
    made: list[Path] = []

    def made_of(changelog: Changelog) -> str:
        made.append(changelog.path.parent.relative_to(kitchen / "formulas"))
        return changelog.title

    bake = a_bake()
    bake.write_text(f"{bake.read_text('utf-8')}photos: [{{file: crumb.jpg}}]\n", encoding="utf-8")
    (bake.parent / "crumb.jpg").write_bytes(b"")
    with_photos = [bake.parents[1].relative_to("formulas")]
    for form, again in (("html", with_photos), ("markdown", [])):
        first = told(["formulas"], form, made_of, jobs=1)
        assert len(made) == len(first) == 3
        made.clear()
        assert told(["formulas"], form, made_of, jobs=1) == first
        assert made == again
        made.clear()


@pytest.mark.parametrize(
    "changed",
    [
        lambda row: [*row[:3], str(row[3]), *row[4:]],
        lambda row: row[:-1],
        lambda row: [row, row],
        lambda row: dict.fromkeys(row),
        lambda row: row[0],
    ],
)
def test_a_kept_text_that_is_not_whole_is_told_anew(
    changed: Callable[[list[Any]], Any], kitchen: Path
) -> None:
    first = told_here()
    (kept,) = kitchen.glob(".git/perflour/markdown-*.rows")
    rows = cache.load(str(kept))
    assert rows
    spoilt = {path: cache.as_row(changed(cache.from_row(row))) for path, row in rows.items()}
    cache.save(str(kept), spoilt)
    assert told_here() == first
    assert cache.load(str(kept)) == rows


def test_of_one_formula_what_is_known_of_the_others_stays(kitchen: Path, read: list[str]) -> None:
    told_here()
    edited()
    told([str(its_formula())], "markdown", maker("changelog", "markdown"), jobs=1)
    read.clear()
    told_here()
    assert read == []

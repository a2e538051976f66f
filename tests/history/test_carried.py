"""Facts of an earlier run in another clone: taken where they hold, never where they do not, and proof of nothing."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from base64 import urlsafe_b64encode
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from perflour import compiled
from perflour.balance.balance import balance
from perflour.diff.change import TextChange
from perflour.diff.difference import difference_between
from perflour.formula.file import read_formula
from perflour.history import iterations
from perflour.history.changelog_files import Told, told
from perflour.history.iterations import Facts
from perflour.history.store import HistoryStore, facts_from, facts_row
from perflour.kitchen.catalogue import built_in
from perflour.release.sides import marks_in_history
from perflour.report.forms import maker
from perflour.system import cache, consists_of, git
from perflour.system.cache import as_row, load, save
from tests.conftest import GIT_ENVIRONMENT, ROOT, run_cli
from tests.conftest import git as run_git
from tests.history.made_history import Plan, make_history

pytestmark = pytest.mark.xdist_group("history")

PLAN = Plan(commits=30, formulas=3, bakes=3, merges=2)


@pytest.fixture(scope="module")
def worked_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A kitchen with what a run has left."""
    kitchen = make_history(tmp_path_factory.mktemp("carried") / "kitchen", PLAN)
    assert run_cli("changelog", "formulas", "--output", "markdown", cwd=kitchen).code == 0
    return kitchen


@pytest.fixture
def clone(worked_out: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Another clone at another place that was given what the first has left."""
    run_git(tmp_path, "clone", "-q", str(worked_out), "clone")
    shutil.copytree(worked_out / ".git/perflour", tmp_path / "clone/.git/perflour")
    monkeypatch.chdir(tmp_path / "clone")
    return tmp_path / "clone"


def told_here(remember: bool = True) -> list[Told]:
    return told(["formulas"], "markdown", maker("changelog", "markdown"), True, 1, remember)


@pytest.fixture
def weighed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The paths of what is weighed from now on."""
    paths: list[str] = []

    def weigh(content: bytes, path: str, kitchen: Any) -> Any:
        paths.append(path)
        return real(content, path, kitchen)

    real = iterations.weigh_file
    monkeypatch.setattr(iterations, "weigh_file", weigh)
    return paths


def test_what_another_clone_found_is_not_worked_out_again(clone: Path, weighed: list[str]) -> None:
    assert told_here() == told_here() and not weighed
    assert told_here(remember=False) == told_here() and weighed


def _house(clone: Path) -> None:
    path = clone / "formulas/house.yaml"
    path.write_text(f"{path.read_text(encoding='utf-8')}scale-resolution: 5 g\n", encoding="utf-8")


def _catalogue(clone: Path) -> None:
    (clone / "formulas/ingredients.yaml").write_text(
        "ingredients:\n  - {name: walnuts, group: flour, counts-as: flour}\n", encoding="utf-8"
    )


@pytest.mark.parametrize("change", [_house, _catalogue])
def test_facts_of_another_house_are_not_taken(
    change: Callable[[Path], None], clone: Path, weighed: list[str]
) -> None:
    change(clone)
    told_here()
    assert weighed


# --- what perflour consists of ------------------------------------------------------------------

OURS = ("lint/rules/salt_missing.py", "data/catalogue.jsonl", "documents/validators/formula.py", "data/units.json")  # fmt: skip


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An installation of a few files, and of one library, that this perflour takes for its own."""
    for name in OURS:
        file = tmp_path / "site-packages/perflour" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(name)
    (tmp_path / "site-packages/pyyaml-6.0.1.dist-info").mkdir()
    monkeypatch.setattr("sys.path", [str(tmp_path / "site-packages")])
    for module in (cache, consists_of):
        file = tmp_path / "site-packages/perflour/system/any.py"
        monkeypatch.setattr(module, "__file__", str(file))
    return tmp_path / "site-packages"


@pytest.mark.parametrize("name", OURS)
def test_whatever_file_of_perflour_is_another_its_key_is_another(
    name: str, installed: Path
) -> None:
    before = consists_of.content_key(str(installed))
    assert consists_of.content_key(str(installed)) == before
    file = installed / "perflour" / name
    file.write_text(name.upper())  # as long as before
    assert consists_of.content_key(str(installed)) != before
    file.write_text(name)  # written anew, as an installation is: the same content at another time
    assert consists_of.content_key(str(installed)) == before


def _list_of(site: Path, **others: str) -> Path:
    """The list that an installation ends with, which says of some files what nobody wrote into them."""
    rows = []
    for name in OURS:
        content = (site / "perflour" / name).read_bytes()
        checksum = urlsafe_b64encode(hashlib.sha256(content).digest()).decode().rstrip("=")
        rows.append(f"perflour/{name},{others.get(name, f'sha256={checksum}')},{len(content)}\n")
    file = site / "perflour-1.0.dist-info/RECORD"
    file.parent.mkdir(exist_ok=True)
    file.write_text("".join(rows) + "perflour-1.0.dist-info/RECORD,,\n")
    return file


def test_what_its_installation_lists_need_not_be_read(
    installed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = consists_of.content_key(str(installed / "none"))
    _list_of(installed)
    with monkeypatch.context() as patched:
        patched.setattr(consists_of, "_sha256", lambda content: pytest.fail("it was read"))
        assert consists_of.content_key(str(installed / "none")) == before


@pytest.mark.parametrize("name", OURS)
@pytest.mark.parametrize("how", ["another checksum", "changed later", "of another size"])
def test_whatever_it_lists_otherwise_its_key_is_another(
    name: str, how: str, installed: Path
) -> None:
    before = consists_of.content_key(str(installed / "none"))
    there = installed / "perflour" / name
    if how == "another checksum":  # as of another version: the list is believed
        _list_of(installed, **{name: "sha256=AAAA"})
    elif how == "changed later":
        _list_of(installed)
        there.write_text(name.upper())
        os.utime(there, (1, 1))  # though it says that it is old
    else:
        listed = _list_of(installed)
        there.write_text(name + "x")
        later = there.stat().st_mtime_ns + 10**9
        os.utime(listed, ns=(later, later))
    assert consists_of.content_key(str(installed / "none")) != before


@pytest.mark.parametrize("text", ["", "perflour/a\n", "\udcff", "perflour/x,sha256=!,x\n", "perflour/x,sha256=A,1\n"])  # fmt: skip
def test_a_list_that_is_none_is_not_believed(text: str, installed: Path) -> None:
    before = consists_of.content_key(str(installed / "none"))
    _list_of(installed).write_bytes(text.encode(errors="surrogateescape"))
    assert consists_of.content_key(str(installed / "none")) == before


def test_so_it_is_with_another_library_or_python(
    installed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = [consists_of.content_key(str(installed))]
    (installed / "pyyaml-6.0.1.dist-info").rename(installed / "pyyaml-6.0.2.dist-info")
    keys.append(consists_of.content_key(str(installed)))
    monkeypatch.setattr("sys.version", "4.0")
    keys.append(consists_of.content_key(str(installed)))
    assert len({*keys}) == 3


def test_so_it_is_with_another_reader(installed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(compiled, "MODULE", iterations)  # any file stands for it
    keys = []
    for is_used in (True, False):
        monkeypatch.setattr(compiled, "IS_USED", is_used)
        keys += [consists_of.content_key(str(installed)), cache.tool_key()]
    assert len({*keys}) == 4


def test_a_kept_key_that_is_none_is_reckoned_again(installed: Path) -> None:
    before = consists_of.content_key(str(installed))
    kept = next(installed.glob("tool-*.rows"))
    save(str(kept), {b"content": b"../../elsewhere"})
    assert consists_of.content_key(str(installed)) == before


# --- what somebody else wrote there -------------------------------------------------------------

LINE = ["LineSaid", "batter", 1, "egg", "2 large", ""]
TEXT = ["TextChange", "header", "title", "A", "B", "", "", "", "", [LINE], [], False]
KNOWN = ["0123456789ab", "loaf", "Loaf", "draft", "", [["egg", 33.3]], "ba9876543210", []]
#: The figures of TEXT and LINE: 0.1 and 100, least byte first (IEEE 754).
FIGURES = "9a9999999999b93f0000000000005940"
FACTS: Any = [{"blob": KNOWN}, [["blob", "other", ["egg"], [TEXT]]], FIGURES]


def _without(place: int, row: list[Any], value: Any) -> list[Any]:
    return [*row[:place], value, *row[place + 1 :]]


def test_facts_are_read_as_they_were_kept() -> None:
    facts = facts_from(as_row(FACTS))
    (change,) = facts.moved["blob", "other"][1]
    assert isinstance(change, TextChange)
    assert (change.importance, change.lines_before[0].grams) == (0.1, 100.0)
    assert json.loads(facts_row(facts)) == FACTS


def test_all_that_is_told_of_two_formulas_is_read_as_it_was_kept() -> None:
    texts = [path.read_bytes() for path in sorted((ROOT / "formulas").glob("*/formula.yaml"))]
    balances = [balance(read_formula(text, "formula.yaml"), built_in()) for text in texts]
    pairs = {(str(a), str(b)): ((), difference_between(balances[a], balances[b]).changes) for a in range(len(balances)) for b in range(len(balances))}  # fmt: skip
    kinds = {type(change) for _, changes in pairs.values() for change in changes}
    assert len(kinds) >= 7
    assert repr(facts_from(facts_row(Facts({}, pairs))).moved) == repr(pairs)


@pytest.mark.parametrize("figures", ["", FIGURES[:16], FIGURES + FIGURES, FIGURES[:-1], FIGURES[:-2], "x" * 32, 7, None, [0.1, 100.0]])  # fmt: skip
def test_figures_that_are_too_few_or_too_many_are_not_taken(figures: Any) -> None:
    facts = facts_from(as_row([*FACTS[:2], figures]))
    assert (facts.known, facts.moved) == ({}, {})


@pytest.mark.parametrize(
    "change",
    [
        ["is_only_scaled", [TEXT]],
        ["NamedTuple", "x"],
        ["__loader__"],
        TEXT[:-1],
        [*TEXT, 1],
        _without(1, TEXT, "no-kind"),
        _without(1, TEXT, "ratio"),
        _without(3, TEXT, 7),
        _without(5, TEXT, "0"),
        _without(5, TEXT, True),
        _without(9, TEXT, LINE),
        _without(9, TEXT, [_without(2, LINE, 1.5)]),
        _without(9, TEXT, None),
        "TextChange",
        None,
    ],
    ids=lambda change: json.dumps(change)[:60],
)
def test_a_change_of_another_shape_is_not_taken(change: Any) -> None:
    assert facts_from(as_row([{}, [["blob", "other", [], [change]]], FIGURES])).moved == {}


@pytest.mark.parametrize("place, value", [(0, None), (2, 7), (5, [["egg", "33"]]), (5, [["egg"]]), (7, [1])])  # fmt: skip
def test_what_is_known_of_another_shape_is_not_taken(place: int, value: Any) -> None:
    assert facts_from(as_row([{"blob": _without(place, KNOWN, value)}, [], ""])).known == {}


def test_a_gate_that_forgets_is_told_nothing_by_others(clone: Path) -> None:
    """Whoever may write the folder may write a text of the right shape: only `--forget` asks git alone."""
    assert run_cli("changelog", "--write", "formulas", cwd=clone).code == 0
    run_git(clone, "add", "-A")
    run_git(clone, "commit", "-qm", "Changelogs")
    assert run_cli("changelog", "--check", "formulas", cwd=clone).code == 0
    kept = next(clone.glob(".git/perflour/markdown-*.rows"))
    save(str(kept), {key: row.replace(b"Honey", b"Money") for key, row in load(str(kept)).items()})
    for file in clone.glob("formulas/*/CHANGELOG.md"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace("Honey", "Money"), encoding="utf-8")
    assert run_cli("changelog", "--check", "--forget", "formulas", cwd=clone).code == 1
    shutil.rmtree(clone / ".git/perflour")
    assert run_cli("changelog", "--check", "formulas", cwd=clone).code == 1


def test_a_review_believes_nothing_that_was_kept(
    clone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in GIT_ENVIRONMENT.items():
        monkeypatch.setenv(name, value)
    repository = git.find_repository(clone)
    head = git.commit_named(repository, "HEAD")
    path = next(clone.glob("formulas/*/formula.yaml")).relative_to(clone).as_posix()
    honest = marks_in_history(repository, head, {path})
    commits = HistoryStore(repository).commits(head)
    assert honest and commits
    kept = next(clone.glob(".git/perflour/history-*.rows"))
    emptied = {key: as_row(_without(4, json.loads(row), [])) if key != b"head" else row for key, row in load(str(kept)).items()}  # fmt: skip
    save(str(kept), emptied)
    assert not any(one.changes for one in HistoryStore(repository).commits(head).values())
    assert marks_in_history(repository, head, {path}) == honest

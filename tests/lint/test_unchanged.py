"""Files that are known by their signs: whatever may change a result changes a sign, or there is none."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from perflour.cli import main
from perflour.lint.cache import Remembered, Told, _Look
from perflour.lint.run import Checked, check_names
from perflour.system import unchanged
from perflour.system.parallel import ENOUGH_ITEMS
from perflour.system.unchanged import NO_SIGN, Signs
from tests.conftest import formula_text

FILES = ENOUGH_ITEMS + 3


@pytest.fixture
def kitchen(repository: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository long enough for what is kept, in which no file counts as young."""
    for number in range(FILES):
        folder = repository / "formulas" / f"trial-{number}"
        folder.mkdir(parents=True)
        text = formula_text("{item: flour, amount: 100 g}", f"{{item: salt, amount: {number} g}}")
        text = text.replace("formula: trial", f"formula: trial-{number}")
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
    (repository / "formulas" / "house.yaml").write_text("house: Trial kitchen\n", encoding="utf-8")
    monkeypatch.setattr(unchanged, "YOUNG_NS", -(10**18))
    monkeypatch.chdir(repository)
    return repository


@pytest.fixture
def looked_at(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that were read to know them."""
    seen: list[str] = []
    look = _Look.__call__

    def noted(self: _Look, group: list[str]) -> list[tuple[bytes, bytes]]:
        seen.extend(os.path.relpath(path) for path in group)
        return look(self, group)

    monkeypatch.setattr(_Look, "__call__", noted)
    return seen


def lint(*names: str) -> Checked:
    return check_names(names or ("formulas",), jobs=1)


def test_what_stands_as_before_is_not_read_again(kitchen: Path, looked_at: list[str]) -> None:
    first = lint()
    assert len(looked_at) == FILES + 1
    assert first == check_names(("formulas",), jobs=1, remember=False)
    looked_at.clear()
    assert lint() == first
    assert looked_at == []


FLOURLESS = formula_text("{item: flouur, amount: 100 g}")
A = "formulas/trial-1/formula.yaml"


def write(name: str, text: str) -> None:
    Path(name).parent.mkdir(exist_ok=True, parents=True)
    Path(name).write_text(text, encoding="utf-8")


def same_size_and_time() -> None:
    """Another text of that length, with the time set back: the time of change tells."""
    at, text = os.stat(A), Path(A).read_text("utf-8")
    write(A, text.replace("item: flour", "item: fluor"))
    os.utime(A, ns=(at.st_atime_ns, at.st_mtime_ns))
    assert os.stat(A).st_size == at.st_size and os.stat(A).st_mtime_ns == at.st_mtime_ns


def replaced() -> None:
    """Another file moved to its place."""
    write("other.yaml", Path(A).read_text("utf-8").replace("item: flour", "item: fluor"))
    os.replace("other.yaml", A)


CHANGES: dict[str, tuple[Callable[[], object], int]] = {
    "an edit": (lambda: write(A, FLOURLESS), 1),
    "an edit that keeps size and time": (same_size_and_time, 1),
    "a file moved there": (replaced, 1),
    "the house": (lambda: write("formulas/house.yaml", "house: Trial kitchen\nrules: {unknown-ingredient: note}\n"), FILES + 1),
    "a house that comes": (lambda: write("formulas/trial-1/house.yaml", "house: Another\n"), 2),
    "ingredients": (lambda: write("formulas/ingredients.yaml", "ingredients:\n  - {name: fluor, group: flour, counts-as: flour}\n"), FILES + 2),
    "a bake": (lambda: write("formulas/trial-1/bakes/2026-03-14.yaml", "date: soon\n"), 2),
    "a changelog": (lambda: write("formulas/trial-1/CHANGELOG.md", "# Nothing\n"), 1),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_what_changed_is_read_again_and_nothing_else(
    what: str, kitchen: Path, looked_at: list[str]
) -> None:
    lint()
    looked_at.clear()
    change, files = CHANGES[what]
    change()
    told = lint()
    assert len(looked_at) == files
    assert told == check_names(("formulas",), jobs=1, remember=False)
    looked_at.clear()
    assert lint() == told
    assert looked_at == []


def test_a_bake_that_is_edited_counts_for_its_formula(kitchen: Path, looked_at: list[str]) -> None:
    bake = "formulas/trial-1/bakes/2026-03-14.yaml"
    write(bake, "date: soon\n")
    lint()
    looked_at.clear()
    write(bake, "date: late\n")
    assert lint() == check_names(("formulas",), jobs=1, remember=False)
    assert looked_at == [A, bake]


def test_from_another_folder_files_are_named_anew(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(A, FLOURLESS)
    lint()
    monkeypatch.chdir(kitchen / "formulas")
    assert {r.place.path for r in lint(".").results if r.rule == "unknown-ingredient"} == {"trial-1/formula.yaml"}  # fmt: skip


def test_an_edit_within_one_tick_of_the_clock_is_seen(
    kitchen: Path, looked_at: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a young file nothing is kept but under its content, whatever the file system says of it."""
    monkeypatch.setattr(unchanged, "YOUNG_NS", 10**15)  # however slow this machine is
    real, texts = os.lstat, [Path(A).read_text("utf-8")]
    texts.append(texts[0].replace("item: flour", "item: fluor"))
    at = real(A)
    monkeypatch.setattr(os, "lstat", lambda path: at if os.fspath(path).endswith(A) else real(path))
    for text in (*texts, *texts):
        write(A, text)
        assert lint() == check_names(("formulas",), jobs=1, remember=False)
        assert A in looked_at
        looked_at.clear()


def test_what_lies_behind_a_link_has_no_sign(kitchen: Path) -> None:
    """It may lead elsewhere by now, though the file that was behind it stands as it stood."""
    (kitchen / "way").symlink_to("formulas")
    (kitchen / "formulas/trial-2/formula.yaml").unlink()
    (kitchen / "formulas/trial-2/formula.yaml").symlink_to("../trial-1/formula.yaml")
    top, listed = str(kitchen), {str(kitchen / "formulas"): ("trial-1", "trial-2", "house.yaml")}
    sign = Signs({}, []).of
    assert sign(f"{top}/{A}") != NO_SIGN
    assert sign(f"{top}/formulas/trial-2/formula.yaml") == NO_SIGN
    assert sign(f"{top}/way/trial-1/formula.yaml") == NO_SIGN
    listed[f"{top}/way"] = listed[f"{top}/formulas"]
    listed[f"{top}/way/trial-1"] = listed[f"{top}/formulas/trial-1"] = ("formula.yaml",)
    walked = Signs(listed, [top, f"{top}/way"]).of
    assert walked(f"{top}/way/trial-1/formula.yaml") == NO_SIGN
    assert walked(f"{top}/{A}") == sign(f"{top}/{A}")


@pytest.mark.parametrize("row", [b"\t", b"x\ty", b"\xff\t\xff"])
def test_signs_that_lead_nowhere_are_none(row: bytes, kitchen: Path) -> None:
    told = lint()
    from perflour.system.cache import load, save

    (seen,) = (kitchen / ".git" / "perflour").glob("seen-*")
    rows = load(str(seen))
    key, value = row.split(b"\t")
    save(str(seen), {**dict.fromkeys(rows, b"0" * 24), key: value})
    assert lint() == told


# --- the last report ---


Report = Callable[..., tuple[int, bytes]]


@pytest.fixture
def report(capfdbinary: pytest.CaptureFixture[bytes]) -> Report:
    """What the command line gives and prints; in this process, in which no file counts as young."""

    def run(*words: str) -> tuple[int, bytes]:
        code = main(["lint", "formulas", "--jobs", "1", *words])
        return code, capfdbinary.readouterr().out

    return run


@pytest.fixture
def told_again(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Whether a report was told again as an earlier run made it."""
    found: list[bool] = []
    told = Remembered.told

    def noted(self: Remembered, told_as: str) -> Told | None:
        again = told(self, told_as)
        found.append(again is not None)
        return again

    monkeypatch.setattr(Remembered, "told", noted)
    return found


FORMS = (("--output", "text"), ("--output", "lines"), ("--output", "json"), ("--output", "markdown"), ("--quiet",), ("--fail-at", "error"))  # fmt: skip


@pytest.mark.parametrize("words", FORMS)
def test_a_report_is_told_again_as_it_was(
    words: tuple[str, ...], kitchen: Path, report: Report, told_again: list[bool]
) -> None:
    write(A, FLOURLESS)
    first, second, anew = report(*words), report(*words), report(*words, "--forget")
    assert first == second == anew
    assert told_again == [False, True]


@pytest.mark.parametrize("what", CHANGES)
def test_no_report_is_told_again_of_other_files(
    what: str, kitchen: Path, report: Report, told_again: list[bool]
) -> None:
    report()
    CHANGES[what][0]()
    assert report() == report("--forget")
    assert told_again == [False, False]


def test_each_way_of_telling_is_another_report(
    kitchen: Path, report: Report, told_again: list[bool]
) -> None:
    for words in (*FORMS[:5], ("--output", "sarif"), ("--color", "always"), ("--verbose",)):
        assert report(*words) == report(*words, "--forget")
    assert not any(told_again)


def test_a_file_under_another_name_is_no_part_of_the_last_report(
    kitchen: Path, report: Report, told_again: list[bool]
) -> None:
    """It is not read, so nothing of it but its name is in what is told."""
    report()
    write("formulas/one/Formula.yml", "formula: trial")
    assert report() == report("--forget")
    os.rename("formulas/one", "formulas/other")
    assert report() == report("--forget")
    assert told_again == [False, False, False]


def test_the_level_that_fails_is_asked_of_a_report_told_again(
    kitchen: Path, report: Report, told_again: list[bool]
) -> None:
    without_error = formula_text("{item: flour, amount: 100 g}")
    write("formulas/trial-0/formula.yaml", without_error.replace("formula: trial", "formula: trial-0"))  # fmt: skip
    codes = {level: report("--fail-at", level)[0] for level in ("note", "warning", "error")}
    assert codes == {level: report("--fail-at", level, "--forget")[0] for level in codes}
    assert set(codes.values()) == {0, 1}
    assert told_again == [False, True, True]


@pytest.mark.parametrize("row", [b"[]", b"[1]", b"{}", b'"', b"null"])
def test_a_spoilt_report_is_none(row: bytes, kitchen: Path, report: Report) -> None:
    first = report()
    from perflour.system.cache import load, save

    (kept,) = (kitchen / ".git" / "perflour").glob("told-*")
    save(str(kept), dict.fromkeys(load(str(kept)), row))
    assert report() == first

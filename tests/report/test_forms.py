"""One table of forms: every row can be made, is what its command takes, and is told of in the docs."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

from perflour.report.forms import BINARY, ENDINGS, FORMS, form_asked, forms_of, maker
from perflour.result import CannotRun
from tests.conftest import ROOT, formula_text, run_cli

#: The words that ask for a report on each subject.
COMMANDS = {
    "lint": "lint",
    "show": "show",
    "contents": "contents",
    "import": "import",
    "scale": "scale",
    "plan": "plan",
    "cost": "cost",
    "diff": "diff",
    "compare": "compare",
    "find": "find",
    "history": "history",
    "evidence": "evidence",
    "why": "why",
    "trial results": "trial results",
    "middle": "middle",
    "draft": "draft",
    "changelog": "changelog",
    "release": "release",
    "review": "review",
    "bakes": "bake list",
    "records": "bake check",
    "tasting sheets": "bake sheets",
    "judgements": "bake judge",
    "trial": "trial plan",
    "trials": "trial list",
    "setup": "check-setup",
}
PARTS_OF_ANOTHER = {"bench sheets", "sheets", "changelogs together", "changelog by commit"}
EVERY = [(subject, form) for subject in FORMS for form in forms_of(subject)]


@pytest.mark.parametrize(("subject", "form"), EVERY)
def test_every_form_can_be_made(subject: str, form: str) -> None:
    made = inspect.signature(maker(subject, form))
    usual = inspect.signature(maker(subject, forms_of(subject)[0]))
    assert made.return_annotation in ("str", "bytes", str, bytes)
    assert (made.return_annotation in ("bytes", bytes)) >= (form in BINARY)
    needed = [p for p in usual.parameters.values() if p.default is p.empty]
    assert len(needed) <= len(made.parameters), "they do not take the same values"


def test_every_subject_has_a_command() -> None:
    assert set(COMMANDS) | PARTS_OF_ANOTHER == set(FORMS)


@pytest.mark.parametrize("subject", COMMANDS)
def test_a_command_takes_the_forms_of_its_subject(subject: str, tmp_path: Path) -> None:
    told = run_cli(*COMMANDS[subject].split(), "--help", cwd=tmp_path)
    found = re.search(r"--output \{([^}]*)\}", told.out)
    assert found
    assert tuple(found[1].split(",")) == forms_of(subject)


@pytest.mark.parametrize("subject", COMMANDS)
def test_no_command_has_a_list_of_its_own(subject: str) -> None:
    for path in (ROOT / "tools" / "perflour" / "commands").glob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert '"--output"' not in text or path.name == "parts.py", path.name


@pytest.mark.parametrize(
    ("subject", "output", "name", "form"),
    [
        ("compare", None, None, "text"),
        ("compare", None, "chart.SVG", "svg"),
        ("compare", "csv", "table.csv", "csv"),
        ("compare", "csv", "table.tab", "csv"),  # an ending that says nothing contradicts nothing
        ("draft", None, None, "pdf"),
        ("draft", None, "book.htm", "html"),
        ("draft", None, "book.epub", "epub"),
        ("plan", None, "day.md", "markdown"),
    ],
)
def test_the_form_is_as_asked_else_as_the_file_ends(
    subject: str, output: str | None, name: str | None, form: str
) -> None:
    assert form_asked(subject, output, name) == form


ASK = "end it in one of .txt .md .html .csv .json .svg .png, or say the form with output"


@pytest.mark.parametrize(
    ("output", "name", "message"),
    [
        (None, "table.pdf", f"table.pdf: no form is known by that ending; {ASK}"),  # no form of it
        (None, "odd.name.", f"odd.name.: no form is known by that ending; {ASK}"),
        (None, "table", f"table: no form is known by that ending; {ASK}"),
        ("csv", "chart.svg", "chart.svg ends like svg, output says csv; leave that out, or name another file"),
        ("html", "chart.pdf", "chart.pdf ends like pdf, output says html; leave that out, or name another file"),
    ],
)  # fmt: skip
def test_an_ending_that_says_nothing_or_otherwise_is_refused(
    output: str | None, name: str, message: str
) -> None:
    with pytest.raises(CannotRun) as refused:
        form_asked("compare", output, name)
    assert str(refused.value) == message


def test_every_ending_stands_for_a_form() -> None:
    assert set(ENDINGS.values()) <= {form for forms in FORMS.values() for form in forms}


def test_a_file_is_written_in_the_form_it_ends_in(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        text = formula_text("{item: all-purpose flour, amount: 500 g}")
        (tmp_path / name / "formula.yaml").write_text(text)
    done = run_cli("compare", "a", "b", "--write", "table.json", cwd=tmp_path)
    assert done.code == 0, done.err
    assert (tmp_path / "table.json").read_text().startswith("{\n")


def test_a_terminal_is_spared_what_is_binary(monkeypatch: pytest.MonkeyPatch) -> None:
    from perflour.system.destination import refuse_in_terminal

    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    for form in BINARY:
        with pytest.raises(CannotRun, match=f"a {form.upper()} is nothing for a terminal"):
            refuse_in_terminal(form, BINARY, None)
        refuse_in_terminal(form, BINARY, "a-file")
    refuse_in_terminal("text", BINARY, None)

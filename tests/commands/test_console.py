"""The installed `perflour`, which is what people run: its end is its own, so it is tried as a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest

from tests.commands.test_bad_input import GOOD, OTHER, Run, check_run, plant
from tests.conftest import GIT_ENVIRONMENT, ROOT, TIMEOUT_S, Outcome, run_python

SCRIPT = Path(sys.executable).with_name("perflour")
pytestmark = pytest.mark.skipif(
    not SCRIPT.exists(), reason="perflour is not installed beside this Python: pip install -e ."
)
#: Before everything else, `show` is made to do what nobody foresaw.
UNFORESEEN = (
    "import os, signal, perflour.commands.show as show\ndef run(_):\n    {}\nshow.run = run\n"
)
FAULT = "perflour: a fault of our own (RuntimeError: {}); run again with PERFLOUR_TRACEBACK=1 and report what it prints\n"


def run_script(*words: str, cwd: Path, does: str = "", **environment: str) -> Outcome:
    """Run the script of these sources; ``does`` is what `show` does in place of showing."""
    ours = [str(ROOT / "tools")]
    if does:
        (cwd / "before").mkdir()
        (cwd / "before" / "sitecustomize.py").write_text(UNFORESEEN.format(does), encoding="utf-8")
        ours.append(str(cwd / "before"))
    done = subprocess.run(
        [SCRIPT, *words],
        cwd=cwd,
        env={**GIT_ENVIRONMENT, "PYTHONPATH": os.pathsep.join(ours), **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=TIMEOUT_S,
        # a shell that runs the tests behind it has had Ctrl-C ignored, which is inherited
        preexec_fn=partial(signal.signal, signal.SIGINT, signal.default_int_handler),
        check=False,
    )
    assert "Traceback" not in done.stderr or environment
    return Outcome(done.returncode, done.stdout, done.stderr)


TRIED = ("no-command", "option-unknown", "rule-with-line-break", "lint-file-missing", "file-as-folder", "diff-outside-git")  # fmt: skip


@pytest.mark.parametrize("run", [r for r in OTHER if r.id in TRIED], ids=lambda run: run.id)
def test_bad_input_is_told_in_one_line(run: Run, tmp_path: Path) -> None:
    plant(tmp_path, run.tree)
    check_run(run, run_script(*run.words, cwd=tmp_path))


@pytest.mark.parametrize(("words", "code"), [(("explain",), 0), (("lint", "trial"), 1), (("show", "trial"), 0)])  # fmt: skip
def test_what_is_printed_is_whole_though_it_leaves_at_once(
    words: tuple[str, ...], code: int, tmp_path: Path
) -> None:
    """All that `python -m perflour` prints, which ends as Python does."""
    text = GOOD.replace("300 g", "1 cupp") if code else GOOD
    plant(tmp_path, {"trial/formula.yaml": text})
    done = run_script(*words, cwd=tmp_path)
    assert done == run_python(*words, cwd=tmp_path)
    assert done.code == code and done.out.endswith("\n")


@pytest.mark.parametrize(
    ("message", "told"), [("no egg", "no egg"), ("a\\nb\\x1b[31m", "a\\nb\\x1b[31m")]
)
def test_a_fault_of_our_own_is_one_line_and_no_traceback(
    message: str, told: str, tmp_path: Path
) -> None:
    done = run_script("show", cwd=tmp_path, does=f"raise RuntimeError('{message}')")
    assert (done.code, done.out, done.err) == (2, "", FAULT.format(told))


def test_a_fault_is_shown_whole_to_who_asks(tmp_path: Path) -> None:
    does = "raise RuntimeError('no egg')"
    done = run_script("show", cwd=tmp_path, does=does, PERFLOUR_TRACEBACK="1")
    assert done.code == 1
    assert done.err.startswith("Traceback") and done.err.endswith("RuntimeError: no egg\n")


def test_who_stops_it_gets_one_line(tmp_path: Path) -> None:
    done = run_script("show", cwd=tmp_path, does="signal.raise_signal(signal.SIGINT)")
    assert (done.code, done.out, done.err) == (2, "", "perflour: stopped\n")


@pytest.mark.parametrize("words", [("lint", "formula.yaml"), ("explain",), ("--help",)])
def test_a_reader_who_has_seen_enough_is_no_fault(words: tuple[str, ...], tmp_path: Path) -> None:
    """`perflour explain | head -1`: the pipe is closed before all is written."""
    plant(tmp_path, {"formula.yaml": GOOD})
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [SCRIPT, *words],
        cwd=tmp_path,
        env={**GIT_ENVIRONMENT, "PYTHONPATH": str(ROOT / "tools")},
        stdout=writer,
        stderr=subprocess.PIPE,
        timeout=TIMEOUT_S,
        check=False,
    )
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, b"")

"""Patterns that wait are what `re` makes of them, and pyyaml's own readers work behind our import of it."""

from __future__ import annotations

import re
import subprocess
import sys
import threading

from perflour.documents.late_patterns import patterns_when_used
from tests.conftest import ROOT


def test_a_pattern_is_compiled_at_the_first_question() -> None:
    real = re.compile
    with patterns_when_used():
        late, broken = re.compile("(a+)b", re.IGNORECASE), re.compile("(")
    assert re.compile is real
    assert type(late) is not re.Pattern
    found = late.search("xAAB")
    assert found and found[1] == "AA"
    assert (late.pattern, late.groups) == ("(a+)b", 1)
    try:
        broken.match("")
    except re.error as wrong:
        assert "missing )" in str(wrong)
    else:
        raise AssertionError


def test_another_thread_compiles_as_ever() -> None:
    made: list[object] = []
    with patterns_when_used():
        other = threading.Thread(target=lambda: made.append(re.compile("a")))
        other.start()
        other.join()
    assert isinstance(made[0], re.Pattern)


def test_pyyaml_reads_and_writes_in_python_behind_us() -> None:
    """Its own loaders, in a process that loaded it by us: what resolves, what is refused, what is written."""
    code = """
import perflour.documents.reader, yaml, datetime
text = "a: 1\\nb: 1.5\\nc: 2026-11-29\\nd: [yes, ~, 0x1f, text]\\ne: 2026-11-29 10:00:00\\n"
said = yaml.load(text, Loader=yaml.SafeLoader)
assert said == yaml.load(text, Loader=yaml.CSafeLoader), said
assert said["c"] == datetime.date(2026, 11, 29) and said["d"] == [True, None, 31, "text"]
assert yaml.safe_load(yaml.safe_dump(said)) == said
try:
    yaml.load("a: \\x07", Loader=yaml.SafeLoader)
except yaml.reader.ReaderError as wrong:
    print(wrong.character)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, env={"PYTHONPATH": str(ROOT / "tools")})  # fmt: skip
    assert done.stdout.split() == [b"7"]

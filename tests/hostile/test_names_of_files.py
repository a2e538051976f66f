"""Names of files that hold what ends a line or a question elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.system import git as ours
from perflour.system.blobs import read_blobs
from tests.conftest import git

NAMES = ("a\nb.yaml", "\n", "HEAD\nmissing", "a b\tc\r", ' "a', "-a", "é\u2028")


@pytest.mark.parametrize("name", NAMES)
def test_a_blob_is_asked_for_by_any_name(name: str, repository: Path) -> None:
    (repository / name).write_text(name, encoding="utf-8", newline="")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Odd name")
    wanted = f"HEAD:{name}"
    found = read_blobs(ours.find_repository(repository), [wanted])
    assert found == {wanted: name.encode()}

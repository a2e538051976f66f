"""Puts into a wheel the compiled reader, where this machine has a compiler and libyaml's headers, and what it is built of.

Without them the wheel is built all the same, quietly: documents/by_pyyaml.py reads the same.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface  # type: ignore[import-not-found, unused-ignore]

sys.path.insert(0, str(Path(__file__).parent))
from built_of import PLACE, built_of  # type: ignore[import-not-found]
from make import compiled  # type: ignore[import-not-found]


class Built(BuildHookInterface):  # type: ignore[misc, type-arg, unused-ignore]
    """Asked by hatchling before a wheel is written, an editable one too."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        self.folder = tempfile.mkdtemp()
        made = compiled(Path(self.folder))
        if made:
            key = "force_include_editable" if version == "editable" else "force_include"
            build_data[key][str(made)] = made.name
            build_data.update(pure_python=False, infer_tag=True)
        if version != "editable":  # whose files change under it
            told = Path(self.folder) / Path(PLACE).name
            told.write_text(f"{built_of(Path(self.root), made)}\n", encoding="ascii")
            build_data["force_include"][str(told)] = PLACE

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)

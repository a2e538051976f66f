"""The compiled reader, where this machine has a compiler and libyaml's headers: `python tools/compiled/make.py FOLDER`."""

from __future__ import annotations

import hashlib
import os
import shlex
import subprocess
import sys
import sysconfig
from pathlib import Path

NAME = "_perflour_reader"
SOURCE = Path(__file__).with_name(f"{NAME}.c")


def digest() -> str:
    """By which the module knows the source that it was made from."""
    return hashlib.sha256(SOURCE.read_bytes()).hexdigest()


def compiled(folder: Path) -> Path | None:
    """The module, made in a folder and loaded once to see that it can be; None where it cannot."""
    linker, suffix = sysconfig.get_config_var("LDSHARED"), sysconfig.get_config_var("EXT_SUFFIX")
    if not linker or os.environ.get("PERFLOUR_PLAIN_READER"):
        return None
    made = folder / f"{NAME}{suffix}"
    make = [*shlex.split(linker), "-O2", "-fPIC", f'-DPERFLOUR_SOURCE="{digest()}"']
    make += [f"-I{sysconfig.get_path('include')}", str(SOURCE), "-o", str(made), "-lyaml"]
    load = [sys.executable, "-c", f"import {NAME}"]
    for command in (make, load):
        try:
            done = subprocess.run(command, cwd=folder, capture_output=True, check=False)
        except OSError:
            return None
        if done.returncode:
            return None
    return made


if __name__ == "__main__":
    print(compiled(Path(sys.argv[1])) or "no compiler, or no libyaml with its headers")

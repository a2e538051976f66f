"""The real command line, a process for every run, without starting Python anew each time.

A server has loaded all modules and run nothing; every run is a fork of it, with its own folder, streams and
exit code. Saved is the start of Python and of libraries, 50 to 600 ms.
"""

from __future__ import annotations

import gc
import io
import json
import os
import pkgutil
import runpy
import signal
import subprocess
import sys
import traceback
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory

import perflour
from perflour.system.without_numpy import without_numpy

STREAMS = ("stdin", "stdout", "stderr")
#: What many commands load late.
LIBRARIES = (
    "deepdiff",
    "jinja2",
    "jsonschema",
    "jsonschema_rs",
    "rapidfuzz",
)
#: What one command loads late and takes long. Left out for all others: forks would take three times as long.
LARGE = {"bake": ("scipy.optimize", "scipy.stats"), "plan": ("ortools.sat.python.cp_model",)}


def run(
    words: tuple[str, ...], cwd: Path, stdin: bytes, environment: Mapping[str, str], timeout_s: int
) -> tuple[int, bytes, bytes]:
    """Run ``python -m perflour`` in a fork; its exit code and what it wrote to its two streams."""
    server = _server(LARGE.get(words[0], ()) if words else (), tuple(environment.items()))
    assert server.stdin and server.stdout
    with TemporaryDirectory() as folder:
        (Path(folder) / "stdin").write_bytes(stdin)
        order = {"words": words, "cwd": str(cwd), "streams": folder, "timeout": timeout_s}
        server.stdin.write(json.dumps(order).encode() + b"\n")
        server.stdin.flush()
        code = int(server.stdout.readline())
        out, err = ((Path(folder) / stream).read_bytes() for stream in STREAMS[1:])
    if code == -signal.SIGALRM:
        raise subprocess.TimeoutExpired(words, timeout_s, out, err)
    return code, out, err


@cache
def _server(
    large: tuple[str, ...], environment: tuple[tuple[str, str], ...]
) -> subprocess.Popen[bytes]:
    """A server that lives as long as this process."""
    return subprocess.Popen(
        [sys.executable, "-m", __name__, *large],
        cwd=Path(__file__).parents[1],
        env=dict(environment),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )


def _load(large: list[str]) -> None:
    """Import all modules of ours that do without numpy, then the large ones that are asked for."""
    modules = pkgutil.walk_packages(perflour.__path__, "perflour.")
    own = [module.name for module in modules if not module.name.endswith("__main__")]
    with without_numpy():
        for name in (*LIBRARIES, *own):
            with suppress(ImportError):
                import_module(name)
    for name in large:
        import_module(name)
    gc.freeze()  # a collection in a fork would copy what it only looks at


def _serve() -> None:
    """Run what is ordered, a line of JSON an order, until the orders end."""
    for order in sys.stdin.buffer:
        child = os.fork()
        if not child:
            _run(**json.loads(order))
        _, status = os.waitpid(child, 0)
        print(os.waitstatus_to_exitcode(status), flush=True)


def _run(words: list[str], cwd: str, streams: str, timeout: int) -> None:
    """In the fork: what Python itself does for ``-m perflour``; does not return."""
    signal.alarm(timeout)
    for number, stream in enumerate(STREAMS):
        flags = os.O_RDWR | os.O_CREAT | os.O_APPEND
        opened = os.open(os.path.join(streams, stream), flags)
        os.dup2(opened, number)
        os.close(opened)
    # The server has read ahead in its own.
    sys.stdin = io.TextIOWrapper(io.BufferedReader(io.FileIO(0, closefd=False)))
    os.chdir(cwd)
    sys.path[0] = cwd
    sys.argv = ["perflour", *words]
    code = 1
    try:
        runpy.run_module("perflour", run_name="__main__", alter_sys=True)
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 0
    except BaseException:
        traceback.print_exc()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


if __name__ == "__main__":
    _load(sys.argv[1:])
    _serve()

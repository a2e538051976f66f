"""Commits that no honest git would make: trees written byte by byte."""

from __future__ import annotations

import subprocess
from collections.abc import Mapping
from pathlib import Path

from tests.conftest import GIT_ENVIRONMENT, git

FILE, LINK, FOLDER = "100644", "120000", "40000"
#: What stands at a name in a tree: its mode and its content, or the tree below it.
Entry = tuple[str, "bytes | Mapping[bytes, Entry]"]


def tree_of(folder: Path, entries: Mapping[bytes, Entry]) -> str:
    """The object name of a tree with these names, whatever they are."""
    raw = b""
    for name, (mode, held) in entries.items():
        made = _blob(folder, held) if isinstance(held, bytes) else tree_of(folder, held)
        raw += f"{mode} ".encode() + name + b"\0" + bytes.fromhex(made)
    return _object(folder, "tree", raw)


def commit_of(folder: Path, entries: Mapping[bytes, Entry], *parents: str, subject: bytes = b"Try") -> str:  # fmt: skip
    """A commit of such a tree."""
    heads = "".join(f"parent {parent}\n" for parent in parents)
    head = f"tree {tree_of(folder, entries)}\n{heads}author A <a@b.c> 1773478800 +0000\ncommitter A <a@b.c> 1773478800 +0000\n\n"
    return _object(folder, "commit", head.encode() + subject + b"\n")


def _blob(folder: Path, content: bytes) -> str:
    return _object(folder, "blob", content)


def _object(folder: Path, kind: str, raw: bytes) -> str:
    done = subprocess.run(
        ["git", "hash-object", "-t", kind, "-w", "--stdin", "--literally"],
        cwd=folder,
        input=raw,
        capture_output=True,
        env=GIT_ENVIRONMENT,
        check=True,
    )
    return done.stdout.decode().strip()


def put_on(folder: Path, branch: str, commit: str) -> None:
    """A branch that points to a commit; nothing is checked out."""
    git(folder, "update-ref", f"refs/heads/{branch}", commit)

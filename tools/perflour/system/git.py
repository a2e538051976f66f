"""The one module that runs git: revisions, changed files, blobs, and history in one pass."""

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from perflour.result import CannotRun

if TYPE_CHECKING:
    import subprocess

# What is told of a commit, the same whatever a person's settings are.
TOLD = (
    "--format=%x01%H%x02%m%x02%P%x02%as%x02%an%x02%s",
    "--encoding=UTF-8",
    "--no-show-signature",
)
# Among more renames than this in one commit only exact ones are found, whatever a person has set.
RENAME_LIMIT = "-l1000"
# Where a commit begins in that form; a subject may hold any sign.
_START = re.compile("\x01(?=[0-9a-f]{40,64}\x02)")


class Repository(NamedTuple):
    """A work tree by its top folder; ``git_folder`` is the one that all its work trees share."""

    top: Path
    git_folder: Path | None = None

    def run(self, *words: str, stdin: bytes | None = None) -> bytes:
        """What git prints. Raises CannotRun with git's first line of complaint."""
        done = _git(["-C", str(self.top), *words], stdin)
        if done.returncode != 0:
            raise CannotRun(f"git {words[0]} failed: {_complaint(done.stderr)}")
        return done.stdout

    def relative(self, path: str | Path) -> str:
        """A path as git names it. Raises CannotRun for a path outside the work tree."""
        text, top = os.path.abspath(path), f"{self.top}{os.sep}"
        if text.startswith(top):
            return text[len(top) :].replace(os.sep, "/")
        absolute = Path(text)
        for candidate in (absolute, absolute.resolve()):
            if candidate.is_relative_to(self.top):
                return candidate.relative_to(self.top).as_posix()
        raise CannotRun(f"{path}: outside the repository {self.top}; name a path inside it")


class FileChange(NamedTuple):
    """One file between two revisions; a blob is None where the file is not there.

    ``old_blob`` and ``new_blob`` are object names; ``new_blob`` is None too where the new side is
    the work tree (``in_work_tree``).
    """

    old_path: str
    new_path: str
    old_blob: str | None
    new_blob: str | None
    in_work_tree: bool = False


class Commit(NamedTuple):
    """One commit and the files it changed against its first parent.

    ``date`` is the author's day in the author's own zone: amending and rebasing keep it.
    """

    sha: str
    date: str
    author: str
    subject: str
    changes: tuple[FileChange, ...]
    parents: tuple[str, ...] = ()


def _git(
    words: list[str], stdin: bytes | None = None, patterns: bool = False
) -> "subprocess.CompletedProcess[bytes]":
    """Run git; only with ``patterns`` a path may be one."""
    import subprocess  # a diff of two files does without: docs/performance.md

    environment = {
        **os.environ,
        "LC_ALL": "C",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_LITERAL_PATHSPECS": "0" if patterns else "1",
    }
    if "GIT_WORK_TREE" not in environment:
        # in a hook of a linked work tree git sets it, and then takes any folder for the top
        environment.pop("GIT_DIR", None)
    try:
        return subprocess.run(
            ["git", *words], input=stdin, capture_output=True, env=environment, check=False
        )
    except FileNotFoundError:
        raise CannotRun("git is not installed or not on the PATH; install it") from None


def _complaint(stderr: bytes) -> str:
    lines = stderr.decode("utf-8", "replace").strip().splitlines()
    return lines[0].removeprefix("fatal: ").removeprefix("error: ") if lines else "no reason given"


def find_repository(path: Path) -> Repository:
    """The repository of a path, which need not be there any more. Raises CannotRun without one."""
    folder = path.absolute()
    while not folder.is_dir():
        folder = folder.parent
    wanted = ["--path-format=absolute", "--show-toplevel", "--git-common-dir"]
    done = _git(["-C", str(folder), "rev-parse", *wanted])
    if done.returncode != 0:
        raise CannotRun(
            f"{folder}: not in a git repository; run `git init` there, or name two files to compare"
        )
    return Repository(*map(Path, os.fsdecode(done.stdout).rstrip("\n").split("\n", 1)))


def version() -> tuple[int, ...]:
    """The version of git as numbers, like (2, 39, 5). Raises CannotRun without git."""
    told = _git(["version"]).stdout.decode("utf-8", "replace")
    found = re.search(r"[0-9]+(?:\.[0-9]+)+", told)
    return tuple(map(int, found[0].split("."))) if found else ()


def hook_file(repository: Repository, name: str) -> Path:
    """Where git looks for a hook, whatever folder a person has set for them."""
    path = os.fsdecode(repository.run("rev-parse", "--git-path", f"hooks/{name}")).rstrip("\n")
    return repository.top / path


def in_repository(folder: Path) -> bool:
    """Whether an existing folder lies in a work tree. Raises CannotRun without git."""
    return _git(["-C", str(folder), "rev-parse", "--show-toplevel"]).returncode == 0


def start_repository(folder: Path) -> None:
    """An empty repository in an existing folder, its branch called main. Raises CannotRun."""
    done = _git(["-C", str(folder), "init", "-q", "-b", "main"])
    if done.returncode != 0:
        raise CannotRun(f"git init failed: {_complaint(done.stderr)}")


def is_shallow(repository: Repository) -> bool:
    """Whether the clone holds only the newest part of the history."""
    return repository.run("rev-parse", "--is-shallow-repository").strip() == b"true"


def commit_named(repository: Repository, revision: str) -> str:
    """The commit a revision names. Raises CannotRun for one that names none."""
    if sha := commit_or_none(repository, revision):
        return sha
    if revision == "HEAD":
        raise CannotRun("the branch has no commit yet; commit once, or name two files to compare")
    if is_shallow(repository):
        raise CannotRun(
            f"'{revision}' is not in this clone, which holds only a part of the history; "
            "get all of it with `git fetch --unshallow`"
        )
    raise CannotRun(
        f"'{revision}' is no revision of this repository; list them with `git log --oneline`"
    )


def commit_or_none(repository: Repository, revision: str) -> str | None:
    """The commit a revision names, or None. A leading dash is never taken for an option."""
    if not revision or revision.startswith("-") or "\0" in revision:
        return None
    words = [
        "-C",
        str(repository.top),
        "rev-parse",
        "--quiet",
        "--verify",
        "--end-of-options",
        f"{revision}^{{commit}}",
    ]
    done = _git(words)
    return done.stdout.decode().strip() if done.returncode == 0 else None


def merge_base(repository: Repository, one: str, other: str) -> str | None:
    """The commit that two branches share, or None."""
    done = _git(["-C", str(repository.top), "merge-base", one, other])
    return done.stdout.decode().strip() if done.returncode == 0 else None


def changed_files(
    repository: Repository, old: str, new: str | None, paths: Sequence[str]
) -> list[FileChange]:
    """The files that differ between a commit and another, or the work tree (``new`` None)."""
    revisions = [old] if new is None else [old, new]
    raw = repository.run("diff", "--raw", "-z", "--no-abbrev", "-M", *revisions, "--", *paths)
    changes = list(_raw_changes(raw.decode("utf-8", "surrogateescape").split("\0")))
    if new is not None:
        return changes
    listed = repository.run("ls-files", "--others", "--exclude-standard", "-z", "--", *paths)
    untracked = [p for p in listed.decode("utf-8", "surrogateescape").split("\0") if p]
    known = [
        FileChange(
            c.old_path,
            c.new_path,
            c.old_blob,
            None,
            in_work_tree=(repository.top / c.new_path).is_file(),
        )
        for c in changes
    ]
    return known + [FileChange(path, path, None, None, in_work_tree=True) for path in untracked]


def _raw_changes(tokens: list[str]) -> Iterator[FileChange]:
    """FileChanges from NUL-separated --raw output; a merge's line is taken against its first parent."""
    at = 0
    while at < len(tokens):
        head = tokens[at].lstrip("\n")
        at += 1
        if not head.startswith(":"):
            continue
        fields = head.lstrip(":").split(" ")
        parents = len(head) - len(head.lstrip(":"))
        old_blob, new_blob = fields[parents + 1], fields[2 * parents + 1]
        status = fields[2 * parents + 2]
        old_path = new_path = tokens[at]
        at += 1
        if parents == 1 and status[0] in "RC":
            new_path = tokens[at]
            at += 1
        yield FileChange(old_path, new_path, _blob(old_blob), _blob(new_blob))


def _blob(name: str) -> str | None:
    return None if set(name) == {"0"} else name


def read_blobs(repository: Repository, names: Iterable[str]) -> dict[str, bytes]:
    """The contents of blobs, by one git process. Raises CannotRun for one that is missing."""
    wanted = list(dict.fromkeys(names))
    if not wanted:
        return {}
    lines = (f"{_on_one_line(repository, name)}\n" for name in wanted)
    out = repository.run("cat-file", "--batch", stdin=os.fsencode("".join(lines)))
    contents: dict[str, bytes] = {}
    at = 0
    for name in wanted:
        end = out.index(b"\n", at)
        header = out[at:end].split(b" ")
        at = end + 1
        if header[-1] == b"missing":
            raise CannotRun(f"git object {name} is missing; check the repository with `git fsck`")
        size = int(header[2])
        contents[name] = out[at : at + size]
        at += size + 1
    return contents


def _on_one_line(repository: Repository, name: str) -> str:
    """An object's name as a batch can ask for it: its hash where a file's name has a line end."""
    if not name.endswith("\r") and "\n" not in name:
        return name
    return os.fsdecode(repository.run("rev-parse", "--verify", name)).strip()


def tree(repository: Repository, commit: str) -> dict[str, str]:
    """The blob of every plain file of a commit, by path."""
    listed = repository.run("ls-tree", "-r", "-z", "--full-tree", commit)
    rows = (
        row.split("\t", 1) for row in listed.decode("utf-8", "surrogateescape").split("\0") if row
    )
    return {path: head.split(" ")[2] for head, path in rows if head.startswith("100")}


def newest_tag(repository: Repository, before: str = "HEAD") -> str | None:
    """The nearest tag that a commit goes back to, or None."""
    done = _git(["-C", str(repository.top), "describe", "--tags", "--abbrev=0", before])
    return os.fsdecode(done.stdout).strip() if done.returncode == 0 else None


def can_be_tag(repository: Repository, name: str) -> bool:
    """Whether git takes the name for a tag."""
    words = ["check-ref-format", f"refs/tags/{name}"]
    return not name.startswith("-") and _git(["-C", str(repository.top), *words]).returncode == 0


def not_committed(repository: Repository, paths: Sequence[str]) -> list[str]:
    """The files below the paths that differ from the newest commit, new ones too."""
    words = ["status", "--porcelain", "-z", "--no-renames", "--untracked-files=all"]
    listed = repository.run(*words, "--", *paths).decode("utf-8", "surrogateescape")
    return [row[3:] for row in listed.split("\0") if row]


def day_of(repository: Repository, commit: str) -> str:
    """The author's day of a commit."""
    return repository.run("log", "-1", "--format=%as", commit).decode().strip()


def is_in(repository: Repository, commit: str, path: str) -> bool:
    """Whether a commit holds a file or folder of that path."""
    return bool(repository.run("ls-tree", "-z", commit, "--", path))


def graph(
    repository: Repository, head: str, name: str, known: str = ""
) -> tuple[list[Commit], set[str]]:
    """Every commit that ``head`` reaches, with its changes of files of that name, in no order.

    With ``known``, an older head: only what is new since then, and the commits that are gone. A merge
    has the changes against its first parent. Raises CannotRun where ``known`` is not there any more.
    """
    words = ["log", "--full-history", "--sparse", "--diff-merges=first-parent", "--raw", "-z"]
    words += ["--no-abbrev", "-M", RENAME_LIMIT, "--root", "--no-color", "--no-follow", *TOLD]
    done = _git(
        [
            "-C",
            str(repository.top),
            *words,
            *(["--left-right", f"{known}...{head}"] if known else [head]),
            "--",
            f":(top,glob)**/{name}",
        ],
        patterns=True,
    )
    if done.returncode != 0:
        raise CannotRun(f"git log failed: {_complaint(done.stderr)}")
    return _commits(done.stdout)


def _commits(raw: bytes) -> tuple[list[Commit], set[str]]:
    """The commits of the right side of what was asked for, and the hashes of the left side's."""
    commits: list[Commit] = []
    gone: set[str] = set()
    for block in _START.split(raw.decode("utf-8", "surrogateescape"))[1:]:
        header, *tokens = block.split("\0")
        sha, side, parents, date, author, subject = header.rstrip("\n").split("\x02", 5)
        if side == "<":
            gone.add(sha)
            continue
        changes = tuple(_raw_changes(tokens))
        commits.append(Commit(sha, date, author, subject, changes, tuple(parents.split())))
    return commits, gone


def merge_texts(files: Sequence[str], marker_size: int) -> tuple[bytes | None, bool]:
    """What git makes of three files, base, ours and theirs, line by line; whether it is clean.

    None where it can make nothing of them.
    """
    base, ours, theirs = (os.path.join(".", name) for name in files)
    labels = [word for label in ("ours", "base", "theirs") for word in ("-L", label)]
    done = _git(["merge-file", "-p", f"--marker-size={marker_size}", *labels, ours, base, theirs])
    merged = 0 <= done.returncode < 128  # the number of conflicts, at most 127
    return (done.stdout, done.returncode == 0) if merged else (None, False)

"""The one module that runs git: revisions, changed files, blobs, and history in one pass."""

import os
import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from perflour.result import CannotRun
from perflour.tuples import NamedTuple
from perflour.typed import IO, TYPE_CHECKING

if TYPE_CHECKING:
    import subprocess

# What is told of a commit, the same whatever a person's settings are. No message, name or path can
# hold the NUL between its fields, which are told apart by their number.
FIELDS = ("%H", "%m", "%P", "%as", "%an", "%s")
_FORMAT = f"--format={''.join(f'%x00{field}' for field in FIELDS)}"
TOLD = (_FORMAT, "--encoding=UTF-8", "--no-show-signature")
# Among more renames than this in one commit only exact ones are found, whatever a person has set.
RENAME_LIMIT = "-l1000"
# The files of a commit, by name and blob.
_CHANGES = ("--raw", "-z", "--no-abbrev", "-M", RENAME_LIMIT, "--no-color", "--diff-merges=first-parent")  # fmt: skip
# The variables of git that say where the repository is, and a person's settings; no other counts.
_KEPT_VARIABLES = (  # compiled where there is one of git at all: docs/performance.md
    "GIT_(DIR|WORK_TREE|INDEX_FILE|COMMON_DIR|OBJECT_DIRECTORY|ALTERNATE_OBJECT_DIRECTORIES|QUARANTINE_PATH"
    "|CEILING_DIRECTORIES|DISCOVERY_ACROSS_FILESYSTEM|EXEC_PATH|CONFIG.*)"
)
# A folder of a commit that looks like a repository is none, and nothing but git itself is started.
_SETTINGS = (
    "-c", "safe.bareRepository=explicit", "-c", "core.fsmonitor=false", "-c", "diff.ignoreSubmodules=all",
    "-c", f"diff.orderFile={os.devnull}", "-c", "core.bigFileThreshold=4m",
)  # fmt: skip
#: Asks when a commit last changed something below the paths that follow, in seconds since 1970.
LAST_CHANGE = ("log", "-1", "--format=%ct", "--")
# So many bytes git may print before it waits for whoever asked, where the system lets it.
_ROOM = 1 << 20


class Repository(NamedTuple):
    """A work tree by its top folder; ``git_folder`` is the one that all its work trees share."""

    top: Path
    git_folder: Path | None = None

    def run(self, *words: str, stdin: bytes | None = None) -> bytes:
        """What git prints. Raises CannotRun with git's first line of complaint."""
        return self.ask(*words, stdin=stdin)()

    def ask(self, *words: str, stdin: bytes | None = None) -> Callable[[], bytes]:
        """The same, with git at work meanwhile: what is returned waits for it."""
        answer = _set_to_work(["-C", str(self.top), *words], stdin)

        def printed() -> bytes:
            done = answer()
            if done.returncode != 0:
                raise CannotRun(f"git {words[0]} failed: {_complaint(done.stderr)}")
            return done.stdout

        return printed

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
    return _set_to_work(words, stdin, patterns)()


def _set_to_work(
    words: list[str], stdin: bytes | None = None, patterns: bool = False
) -> "Callable[[], subprocess.CompletedProcess[bytes]]":
    """Start git; what is returned waits until it is done."""
    import subprocess  # a diff of two files does without: docs/performance.md

    environment = {
        **_environment(),
        "LC_ALL": "C",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_GRAFT_FILE": os.devnull,
        "GIT_LITERAL_PATHSPECS": "0" if patterns else "1",
    }
    if "GIT_WORK_TREE" not in environment:
        # in a hook of a linked work tree git sets it, and then takes any folder for the top
        environment.pop("GIT_DIR", None)
    try:
        process = subprocess.Popen(
            ["git", *_SETTINGS, *words],
            stdin=None if stdin is None else subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment,
        )
    except FileNotFoundError:
        raise CannotRun("git is not installed or not on the PATH; install it") from None
    with suppress(ImportError, AttributeError, OSError):  # another system, or no room left
        from fcntl import F_SETPIPE_SZ, fcntl

        fcntl(process.stdout, F_SETPIPE_SZ, _ROOM)  # type: ignore[arg-type]
    if process.stdin:
        from threading import Thread  # git may print before it has read all

        Thread(target=_hand_over, args=(process.stdin, stdin), daemon=True).start()
        process.stdin = None

    def answer() -> subprocess.CompletedProcess[bytes]:
        with process:
            out, err = process.communicate()
        return subprocess.CompletedProcess(process.args, process.returncode, out, err)

    return answer


def _hand_over(pipe: "IO[bytes]", text: bytes) -> None:
    with suppress(OSError), pipe:
        pipe.write(text)


def _environment() -> dict[str, str]:
    variables = os.environ.items()
    return {k: v for k, v in variables if k[:4] != "GIT_" or re.fullmatch(_KEPT_VARIABLES, k)}


def _complaint(stderr: bytes) -> str:
    lines = stderr.decode("utf-8", "replace").strip().splitlines()
    return lines[0].removeprefix("fatal: ").removeprefix("error: ") if lines else "no reason given"


def find_repository(path: Path, otherwise: str = "") -> Repository:
    """The repository of a path, which need not be there any more.

    Raises CannotRun without one; ``otherwise`` says what can be done without.
    """
    folder = path.absolute()
    while not os.path.isdir(folder):
        folder = folder.parent
    wanted = ["--path-format=absolute", "--show-toplevel", "--git-common-dir"]
    done = _git(["-C", str(folder), "rev-parse", *wanted])
    if done.returncode != 0:
        raise CannotRun(
            f"{folder}: not in a git repository; run `git init` there, or go to the repository{otherwise}"
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
    from perflour.system.branches import no_commit  # only on the way to an error

    raise no_commit(repository, revision)


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
    changes = ask_changes(repository, [old] if new is None else [old, new], paths)()
    if new is not None:
        return changes
    listed = repository.run("ls-files", "--others", "--exclude-standard", "-z", "--", *paths)
    untracked = [p for p in listed.decode("utf-8", "surrogateescape").split("\0") if p]
    known = [
        c._replace(new_blob=None, in_work_tree=os.path.isfile(repository.top / c.new_path))
        for c in changes
    ]
    return known + [FileChange(path, path, None, None, in_work_tree=True) for path in untracked]


def ask_changes(
    repository: Repository, revisions: Sequence[str], paths: Sequence[str]
) -> Callable[[], list[FileChange]]:
    """The files that differ between two commits, or one and the work tree but for new ones; git is at work meanwhile."""
    words = ("diff", "--raw", "-z", "--no-abbrev", "-M")
    printed = repository.ask(*words, *revisions, "--", *paths)
    return lambda: list(_raw_changes(printed().decode("utf-8", "surrogateescape").split("\0"))[0])


def copied_files(repository: Repository, old: str, new: str, name: str) -> dict[str, str]:
    """Files of a name that a commit has and an older one has under another path too: the path they were copied from."""
    words = ["diff", "--raw", "-z", "--no-abbrev", "-C", "--find-copies-harder", "--diff-filter=C"]
    words = ["-C", str(repository.top), *words, old, new, "--", f":(top,glob)**/{name}"]
    tokens = _git(words, patterns=True).stdout.decode("utf-8", "surrogateescape").split("\0")
    return {change.new_path: change.old_path for change in _raw_changes(tokens)[0]}


def _raw_changes(tokens: list[str], at: int = 0) -> tuple[tuple[FileChange, ...], int]:
    """The FileChanges of --raw -z output from a token on, and the first token that is of none.

    A merge's line is taken against its first parent.
    """
    found = []
    while at < len(tokens) and (head := tokens[at].lstrip("\n")).startswith(":"):
        fields = head.lstrip(":").split(" ")
        parents = len(head) - len(head.lstrip(":"))
        old_blob, new_blob = fields[parents + 1], fields[2 * parents + 1]
        two_paths = parents == 1 and fields[2 * parents + 2][0] in "RC"
        old_path, new_path = tokens[at + 1], tokens[at + 1 + two_paths]
        at += 2 + two_paths
        found.append(FileChange(old_path, new_path, _blob(old_blob), _blob(new_blob)))
    return tuple(found), at


def _blob(name: str) -> str | None:
    return None if set(name) == {"0"} else name


def tree(repository: Repository, commit: str) -> tuple[dict[str, str], dict[str, str]]:
    """The blob of every plain file of a commit, and that of every link, by path."""
    return ask_tree(repository, commit)()


def ask_tree(
    repository: Repository, commit: str
) -> Callable[[], tuple[dict[str, str], dict[str, str]]]:
    """The same, with git at work meanwhile."""
    printed = repository.ask("ls-tree", "-r", "-z", "--full-tree", commit)
    return lambda: _files_and_links(printed().decode("utf-8", "surrogateescape"))


def _files_and_links(listed: str) -> tuple[dict[str, str], dict[str, str]]:
    rows = (row.split("\t", 1) for row in listed.split("\0") if row)
    files: dict[str, str] = {}
    links: dict[str, str] = {}
    for head, path in rows:
        mode, _, blob = head.split(" ")
        if mode.startswith("100"):
            files[path] = blob
        elif mode == "120000":
            links[path] = blob
    return files, links


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
    words = ["log", "--full-history", "--sparse", *_CHANGES, "--root", "--no-follow", *TOLD]
    span = ["--left-right", f"{known}...{head}"] if known else [head]
    pattern = ["--", f":(top,glob)**/{name}"]
    done = _git(["-C", str(repository.top), *words, *span, *pattern], patterns=True)
    if done.returncode != 0:
        raise CannotRun(f"git log failed: {_complaint(done.stderr)}")
    return _commits(done.stdout)


def ask_authors(
    repository: Repository, start: str, end: str, paths: Sequence[str]
) -> Callable[[], dict[str, tuple[str, ...]]]:
    """Who changed each path in the commits after ``start`` up to ``end``, newest first, each once; git is at work meanwhile."""
    printed = repository.ask("log", *_CHANGES, *TOLD, f"{start}..{end}", "--", *paths)
    return lambda: _authors(printed())


def _authors(raw: bytes) -> dict[str, tuple[str, ...]]:
    found: dict[str, dict[str, None]] = {}
    for commit in _commits(raw)[0]:
        for path in (name for c in commit.changes for name in (c.old_path, c.new_path)):
            found.setdefault(path, {})[commit.author] = None
    return {path: tuple(names) for path, names in found.items()}


def _commits(raw: bytes) -> tuple[list[Commit], set[str]]:
    """The commits of the right side of what was asked for, and the hashes of the left side's."""
    commits: list[Commit] = []
    gone: set[str] = set()
    tokens = raw.decode("utf-8", "surrogateescape").split("\0")
    at = 0
    while at < len(tokens):
        if not tokens[at]:  # between two commits
            at += 1
            continue
        sha, side, parents, date, author, subject = tokens[at : at + len(FIELDS)]
        at += len(FIELDS)
        changes, at = _raw_changes(tokens, at)
        if side == "<":
            gone.add(sha)
        else:
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

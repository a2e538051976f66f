"""What git is asked: revisions, changed files, blobs, and history in one pass."""

import os
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from perflour.result import CannotRun
from perflour.system.run_git import run_git, start_git
from perflour.tuples import NamedTuple

# What is told of a commit, the same whatever a person's settings are. No message, name or path can
# hold the NUL between its fields, which are told apart by their number.
FIELDS = ("%H", "%m", "%P", "%as", "%an", "%s")
_FORMAT = f"--format={''.join(f'%x00{field}' for field in FIELDS)}"
TOLD = (_FORMAT, "--encoding=UTF-8", "--no-show-signature")
# Among more renames than this in one commit only exact ones are found, whatever a person has set.
RENAME_LIMIT = "-l1000"
# The files of a commit, by name and blob.
_CHANGES = ("--raw", "-z", "--no-abbrev", "-M", RENAME_LIMIT, "--no-color", "--diff-merges=first-parent")  # fmt: skip
# Asks for the top of a work tree, and for the git folder that all work trees share.
_WHERE = ("--path-format=absolute", "--show-toplevel", "--git-common-dir")
#: Asks when a commit last changed something below the paths that follow, in seconds since 1970.
LAST_CHANGE = ("log", "-1", "--format=%ct", "--")


class Repository(NamedTuple):
    """A work tree by its top folder; ``git_folder`` is the one that all its work trees share."""

    top: Path
    git_folder: Path | None = None

    def run(self, *words: str, stdin: bytes | None = None) -> bytes:
        """What git prints. Raises CannotRun with git's first line of complaint."""
        return self.ask(*words, stdin=stdin)()

    def ask(self, *words: str, stdin: bytes | None = None) -> Callable[[], bytes]:
        """The same, with git at work meanwhile: what is returned waits for it."""
        answer = start_git(["-C", str(self.top), *words], stdin)

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
    done = run_git(["-C", str(folder), "rev-parse", *_WHERE])
    if done.returncode != 0:
        raise CannotRun(
            f"{folder}: not in a git repository; run `git init` there, or go to the repository{otherwise}"
        )
    return Repository(*map(Path, os.fsdecode(done.stdout).rstrip("\n").split("\n", 1)))


#: A repository, whether it is shallow, and its newest commit, None before the first.
WithHead = tuple[Repository, bool, str | None]


def ask_with_head(path: Path) -> Callable[[], WithHead]:
    """Ask for the repository of a path that is there, and for its head; the function waits for the answer.

    It raises CannotRun as ``find_repository``. One process for three questions: docs/performance.md.
    """
    folder = path if os.path.isdir(path) else path.parent
    wanted = ("--is-shallow-repository", *_WHERE, "--quiet", "--verify", "HEAD^{commit}")
    asked = Repository(folder).ask("rev-parse", *wanted)

    def answer() -> WithHead:
        try:
            shallow, top, git_folder, head = os.fsdecode(asked()).removesuffix("\n").split("\n")
        except (
            CannotRun,
            ValueError,
        ):  # no commit yet, no repository, or a folder of a strange name
            found = find_repository(path)
            return found, is_shallow(found), commit_or_none(found, "HEAD")
        return Repository(Path(top), Path(git_folder)), shallow == "true", head

    return answer


def find_with_commits(path: Path, revisions: Sequence[str]) -> tuple[Repository, list[str] | None]:
    """The repository of a path that need not be there any more, and the commits that revisions name.

    None for these where git says anything but a commit of each: which of them is wrong is to be asked one by one.
    Raises CannotRun as ``find_repository``.
    """
    if os.path.isdir(path) and not any(name.startswith("-") or "\0" in name for name in revisions):
        try:
            told = Repository(path).run("rev-parse", *_WHERE, *(f"{name}^{{commit}}" for name in revisions))  # fmt: skip
            top, git_folder, *commits = os.fsdecode(told).removesuffix("\n").split("\n")
        except (CannotRun, ValueError):  # no repository, or no such commit
            pass
        else:
            if len(commits) == len(revisions) and all(map(str.isalnum, commits)):
                return Repository(Path(top), Path(git_folder)), commits
    return find_repository(path), None


def version() -> tuple[int, ...]:
    """The version of git as numbers, like (2, 39, 5). Raises CannotRun without git."""
    told = run_git(["version"]).stdout.decode("utf-8", "replace")
    found = re.search(r"[0-9]+(?:\.[0-9]+)+", told)
    return tuple(map(int, found[0].split("."))) if found else ()


def hook_file(repository: Repository, name: str) -> Path:
    """Where git looks for a hook, whatever folder a person has set for them."""
    path = os.fsdecode(repository.run("rev-parse", "--git-path", f"hooks/{name}")).rstrip("\n")
    return repository.top / path


def in_repository(folder: Path) -> bool:
    """Whether an existing folder lies in a work tree. Raises CannotRun without git."""
    return run_git(["-C", str(folder), "rev-parse", "--show-toplevel"]).returncode == 0


def start_repository(folder: Path) -> None:
    """An empty repository in an existing folder, its branch called main. Raises CannotRun."""
    done = run_git(["-C", str(folder), "init", "-q", "-b", "main"])
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
    done = run_git(words)
    return done.stdout.decode().strip() if done.returncode == 0 else None


def merge_base(repository: Repository, one: str, other: str) -> str | None:
    """The commit that two branches share, or None."""
    done = run_git(["-C", str(repository.top), "merge-base", one, other])
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
    words = ["-C", str(repository.top), *words, old, new, "--", *_files_named(name)]
    tokens = run_git(words, patterns=True).stdout.decode("utf-8", "surrogateescape").split("\0")
    return {change.new_path: change.old_path for change in _raw_changes(tokens)[0]}


def _files_named(name: str) -> tuple[str, str]:
    """Patterns of all files of a name: those in folders, and one at the top, where a folder may be called so too.

    For a star and nothing else git looks at the ends of paths, in three quarters of the time.
    """
    return f":(top)*/{name}", f":(top){name[:-1]}[{name[-1]}]"


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


class Tree(NamedTuple):
    """The blob of every plain file of a commit, and that of every link, by path; ``rows`` has all with mode and kind."""

    files: dict[str, str]
    links: dict[str, str]
    rows: dict[str, str]


def tree(repository: Repository, commit: str) -> Tree:
    """What a commit holds."""
    return ask_tree(repository, commit)()


def ask_tree(repository: Repository, commit: str) -> Callable[[], Tree]:
    """The same, with git at work meanwhile."""
    printed = repository.ask("ls-tree", "-r", "-z", "--full-tree", commit)
    return lambda: _tree(printed().decode("utf-8", "surrogateescape"))


def _tree(listed: str) -> Tree:
    found = Tree({}, {}, {})
    for row in filter(None, listed.split("\0")):
        head, path = row.split("\t", 1)
        mode, _, blob = head.split(" ")
        found.rows[path] = head
        if mode.startswith("100"):
            found.files[path] = blob
        elif mode == "120000":
            found.links[path] = blob
    return found


def newest_tag(repository: Repository, before: str = "HEAD") -> str | None:
    """The nearest tag that a commit goes back to, or None."""
    done = run_git(["-C", str(repository.top), "describe", "--tags", "--abbrev=0", before])
    return os.fsdecode(done.stdout).strip() if done.returncode == 0 else None


def can_be_tag(repository: Repository, name: str) -> bool:
    """Whether git takes the name for a tag."""
    words = ["check-ref-format", f"refs/tags/{name}"]
    return not name.startswith("-") and run_git(["-C", str(repository.top), *words]).returncode == 0


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
    words = ["-C", str(repository.top), *words, *span, "--", *_files_named(name)]
    done = run_git(words, patterns=True)
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
    done = run_git(
        ["merge-file", "-p", f"--marker-size={marker_size}", *labels, ours, base, theirs]
    )
    merged = 0 <= done.returncode < 128  # the number of conflicts, at most 127
    return (done.stdout, done.returncode == 0) if merged else (None, False)

"""A formula as the last commit has it, read once for each commit."""

from pathlib import Path
from typing import NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.kitchen.house import Kitchen
from perflour.result import CannotRun
from perflour.system import git
from perflour.system.blobs import file_at

MOST_KEPT = 64
NOT_COMMITTED = "not committed yet"


class Committed(NamedTuple):
    """A formula of the last commit; ``why_not`` says why there is none to compare with."""

    balance: Balance | None
    why_not: str = ""


class Heads:
    """What was read of the last commit; a class because git is asked for each file of a commit only once."""

    def __init__(self) -> None:
        # Owner: this server. Bound: MOST_KEPT files. Pays: a text differs from one commit at every key pressed.
        self._read: dict[tuple[str, str], tuple[Kitchen, Committed]] = {}

    def of(self, path: str, kitchen: Kitchen) -> Committed | None:
        """The formula of a path as HEAD has it now; None outside a repository, or without git."""
        try:
            repository = git.find_repository(Path(path))
            commit = git.commit_or_none(repository, "HEAD")
            if commit is None:
                return Committed(None, NOT_COMMITTED)
            known = self._read.get((commit, path))
            if known and known[0] == kitchen:
                return known[1]
            found = _committed(repository, commit, path, kitchen)
            if len(self._read) >= MOST_KEPT:
                self._read.clear()
            self._read[commit, path] = kitchen, found
            return found
        except (CannotRun, OSError, ValueError):
            return None


def _committed(repository: git.Repository, commit: str, path: str, kitchen: Kitchen) -> Committed:
    content = file_at(repository, commit, repository.relative(path))
    if content is None:
        return Committed(None, NOT_COMMITTED)
    weighed = weigh_or_tell(content, path, kitchen)
    return Committed(weighed if isinstance(weighed, Balance) else None)

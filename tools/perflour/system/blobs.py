"""The contents of a repository's blobs for one run, which asks for many of them twice: a side, a record, a move."""

from collections.abc import Iterable, Mapping

from perflour.system.git import Repository, read_blobs


class Blobs:
    """Contents by blob, each read from git once."""

    def __init__(self, repository: Repository) -> None:
        self.repository = repository
        self._read: dict[str, bytes] = {}

    def of(self, names: Iterable[str]) -> Mapping[str, bytes]:
        """The contents of these blobs, and of others. Raises CannotRun as git.read_blobs."""
        self._read |= read_blobs(self.repository, [n for n in names if n not in self._read])
        return self._read

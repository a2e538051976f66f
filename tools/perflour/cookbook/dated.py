"""When a book was last changed, by the commits of what it is made of."""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from perflour.cookbook.book import Cookbook
from perflour.result import CannotRun
from perflour.system import git


def dated(book: Cookbook, paths: Iterable[str]) -> Cookbook:
    """The book with the moment of the last commit to its files; as it is outside a repository."""
    there = sorted(path for path in map(os.path.abspath, paths) if os.path.isfile(path))
    if not there:
        return book
    around = os.path.commonpath([os.path.dirname(path) for path in there])
    try:
        said = git.find_repository(Path(around)).run(*git.LAST_CHANGE, around)
    except CannotRun:
        return book
    if not said.strip():
        return book
    moment = datetime.fromtimestamp(int(said), UTC)
    return book._replace(changed=moment.strftime("%Y-%m-%dT%H:%M:%SZ"))

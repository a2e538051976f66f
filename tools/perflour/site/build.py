"""The folder of pages: those of formulas that changed are made anew, and only what differs is written."""

from __future__ import annotations

import hashlib
import os
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from perflour.history.changelog import Asked, AskedFormula, Changelog, asked, worked_out
from perflour.history.changelog_files import keys
from perflour.result import CannotRun
from perflour.site.summary import Summary, summary, summary_from, summary_row
from perflour.system import git
from perflour.system.blobs import read_blobs
from perflour.system.branches import ends
from perflour.system.cache import Rows, as_row, from_row, row_key
from perflour.system.extras import present
from perflour.system.named import no_formula_in
from perflour.system.opening import make_folder, names_in, read
from perflour.system.writing import write_file

if TYPE_CHECKING:
    from perflour.site.of_formula import OfFormula
    from perflour.site.whole import Whole

#: Lists the pages of a folder, so that those which are no more can go, and nothing else does.
LIST = "pages.txt"
#: The rows of formulas in the cache, and the one row of all other pages.
KIND, KIND_OF_WHOLE, WHOLE = "site", "siteall", b"whole"
#: The first line of the list.
HEAD = "# Written by `perflour site`, which may write any of these anew or take it away.\n"
MOST_NAME = 80

#: Pages by their addresses, paths below the folder with forward slashes.
Pages = Mapping[str, bytes]


class Makers(NamedTuple):
    """What makes pages of values."""

    of_formula: Callable[[OfFormula], Pages]
    of_whole: Callable[[Whole], Pages]


class Built(NamedTuple):
    """How many pages there are, which were written and which went; ``problems`` are in words, for stderr."""

    pages: int
    written: tuple[str, ...]
    gone: tuple[str, ...]
    problems: tuple[str, ...]


def build(
    names: Sequence[str],
    folder: Path,
    makers: Makers,
    reviews: tuple[str, ...] | None = None,
    jobs: int = 0,
    remember: bool = True,
) -> Built:
    """Write the pages of a kitchen into a folder; those of an earlier run that are no more are taken away.

    Raises CannotRun outside a repository, where no formula is, and for a folder that holds something else; ``reviews`` are the
    spans of commits that have a review, None for all branches that are not merged.
    """
    before = _listed(folder)
    found = asked(names, committed=False, remember=remember)
    if not found.formulas:
        raise no_formula_in(names, "a folder that holds some")
    # so that a run that is broken off leaves a folder of ours
    _write(folder, {LIST: _list(before)})
    told = _formulas(found, folder, makers, jobs)
    over_all = _over_all(found, told, folder, makers, names, reviews)
    written = [address for one in told for address in one.written] + [*over_all.written]
    there = {address for one in told for address in one.digests}.union(over_all.digests)
    _write(folder, {LIST: _list(there)})
    gone = [address for address in sorted(before - there) if _take_away(folder, address)]
    problems = (*over_all.problems, *(line for one in told for line in one.summary.wrong))
    return Built(len(there), tuple(written), tuple(gone), tuple(dict.fromkeys(problems)))


class _Told(NamedTuple):
    """The pages of one formula by the digest of their bytes, and those that were written."""

    key: str
    summary: Summary
    digests: Mapping[str, str]
    written: Sequence[str] = ()


def _formulas(found: Asked, folder: Path, makers: Makers, jobs: int) -> list[_Told]:
    """Write the pages of each formula; none is made where nothing that it tells of has changed and all are there.

    Each is written where it is made: a kitchen's pages are more than memory should hold.
    """
    kept = found.store.load(KIND)
    # pages say what is left out of them for want of an extra
    extras = " ".join(present())
    now = {path: f"{key} {extras}" for path, key in keys(found).items()}
    slugs = _slugs(found.formulas)
    known = {path: told for path, key in now.items() if (told := _known(kept, path, key, folder))}
    waiting = [source for source in found.formulas if source.path not in known]
    by_file = {source.file: source for source in waiting}

    from perflour.site.of_formula import of_formula  # a run that finds no change weighs nothing

    def tell(changelog: Changelog) -> tuple[Any, ...]:
        source = by_file[changelog.path]
        blobs = read_blobs(found.repository, source.blobs)
        values = of_formula(slugs[source.path], changelog, source, blobs)
        photos = {one.at: _state(one.at) for one in values.photos}
        pages = makers.of_formula(values)
        return summary_row(summary(values)), photos, *_write(folder, pages)

    new: Rows = {}
    made = worked_out(found, waiting, tell, jobs)
    for source, (row, photos, digests, written) in zip(waiting, made, strict=True):
        kept_row = as_row([now[source.path], row, digests, photos])
        new[row_key(source.path)] = kept_row
        one = summary_from(from_row(kept_row)[1])
        known[source.path] = _Told(now[source.path], one, digests, written)
    if waiting:
        found.store.save_by_path(KIND, kept, new, found.paths)
    return [known[source.path] for source in found.formulas]


class _OverAll(NamedTuple):
    """The pages over all formulas, as those of one."""

    digests: Mapping[str, str]
    written: Sequence[str]
    problems: tuple[str, ...]


def _over_all(
    found: Asked,
    told: Sequence[_Told],
    folder: Path,
    makers: Makers,
    names: Sequence[str],
    reviews: tuple[str, ...] | None,
) -> _OverAll:
    """Write the pages over all formulas; none is made where no formula, branch, tag or asked span has changed."""
    refs = ends(found.repository)
    head = (git.commit_or_none(found.repository, "HEAD") or "").encode()
    said = [one.key for one in told]
    key = _digest(b"\0".join((refs, head, repr((said, names, reviews)).encode())))
    kept = found.store.load(KIND_OF_WHOLE)
    try:
        was, digests, problems = from_row(kept[WHOLE])
        if was == key and all(_digest_of(folder, a) == d for a, d in digests.items()):
            return _OverAll(digests, (), tuple(problems))
    except (KeyError, TypeError, ValueError, AttributeError):
        pass  # nothing was kept, or it is not whole
    from perflour.site.whole import whole  # with all that evidence and reviews need

    every = whole(found.repository, names, [one.summary for one in told], reviews)
    digests, written = _write(folder, makers.of_whole(every))
    found.store.save(KIND_OF_WHOLE, {WHOLE: as_row([key, digests, every.problems])})
    return _OverAll(digests, written, every.problems)


def _known(kept: Rows, path: str, key: str, folder: Path) -> _Told | None:
    """What an earlier run left of a formula; None where it is of another key, or a page is not as it was."""
    try:
        was, row, digests, photos = from_row(kept[row_key(path)])
        if was != key or any(_digest_of(folder, a) != d for a, d in digests.items()):
            return None
        if any(_state(at) != state for at, state in photos.items()):
            return None
        return _Told(key, summary_from(row), digests)
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def _slugs(formulas: Iterable[AskedFormula]) -> dict[str, str]:
    """By path the folder of a formula's pages: its own name, with those above it where two are alike."""
    paths = [source.path for source in formulas]
    names = {path: path.split("/")[-2] if "/" in path else "formula" for path in paths}
    times = Counter(names.values())
    return {
        path: slug("_".join(path.split("/")[:-1]) if times[name] > 1 else name)
        for path, name in names.items()
    }


def slug(name: str) -> str:
    """A name as part of an address: plain letters stay, whatever else it holds is told apart by a digest."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip(".-")
    if plain == name and len(name) <= MOST_NAME:
        return name
    return f"{plain[:MOST_NAME]}-{_digest(name.encode('utf-8', 'surrogateescape'))[:8]}"


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:32]


def _state(path: str) -> list[int] | None:
    """By what a photo's file is known again without being read; None where it is not there."""
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return [found.st_size, found.st_mtime_ns]


def _digest_of(folder: Path, address: str) -> str:
    try:
        return _digest(read(str(folder / address)))
    except (OSError, ValueError):
        return ""


def _listed(folder: Path) -> set[str]:
    """The pages that an earlier run wrote there. Raises CannotRun for a folder that holds something else."""
    if not os.path.lexists(folder) or (folder.is_dir() and not any(names_in(str(folder)))):
        return set()
    try:
        head, *lines = read(str(folder / LIST)).decode().splitlines(keepends=True)
    except (OSError, ValueError):
        head, lines = "", []
    if head != HEAD:
        raise CannotRun(
            f"{folder}: holds something that is not ours; name an empty folder, or one that `perflour site` wrote"
        )
    return {address for line in lines if _is_below(address := line.rstrip("\n"))}


def _is_below(address: str) -> bool:
    """Whether an address of a list, which anybody may have changed, stays in its folder."""
    parts = address.split("/")
    return all(part not in ("", ".", "..") for part in parts) and "\\" not in address


def _list(there: Iterable[str]) -> bytes:
    return (HEAD + "".join(f"{address}\n" for address in sorted(there))).encode()


def _write(folder: Path, pages: Pages) -> tuple[dict[str, str], list[str]]:
    """Write the pages that are not there in just these bytes: the digests of all, and what was written."""
    digests = {address: _digest(content) for address, content in pages.items()}
    written = []
    for address, content in pages.items():
        if _digest_of(folder, address) != digests[address]:
            path = folder / address
            make_folder(str(path.parent))
            write_file(path, content)
            written.append(address)
    return digests, written


def _take_away(folder: Path, address: str) -> bool:
    """Remove a page that is no more, and its folder where that is empty then."""
    path = folder / address
    try:
        path.unlink()
    except OSError:
        return False
    for above in path.relative_to(folder).parents:
        try:
            if above.name:
                (folder / above).rmdir()
        except OSError:  # something else is in it
            break
    return True

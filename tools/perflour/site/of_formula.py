"""All that the pages of one formula tell: as it is now, and each of its revisions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from perflour.balance.bakers_table import BakersTable, bakers_table
from perflour.balance.balance import Balance
from perflour.balance.contents import Contents, contents
from perflour.balance.files import weigh_file, weigh_or_tell
from perflour.balance.gas import GAS
from perflour.cookbook.steps.step_text import method_sentences
from perflour.history.changelog import AskedFormula, Changelog
from perflour.history.iterations import Iteration
from perflour.kitchen.cautions import Caution
from perflour.kitchen.house import Kitchen, Window, kitchen_for
from perflour.lint.ask.raw import is_unbaked
from perflour.lint.judging import context_of
from perflour.lint.rules.ratios.ratio_outside_window import LEAST_GAS, Judged, judged
from perflour.lint.situations import cautions_that_hold
from perflour.records.bake import Photo
from perflour.records.photos import shown_photo
from perflour.result import FileProblem, Result
from perflour.site.standing import Standing, standing
from perflour.system.files import read_bytes
from perflour.system.paths import BAKES, display_path
from perflour.system.pictures import ScaledPhoto


class InWindow(NamedTuple):
    """A ratio of the base beside the usual window of its class, as the rule on windows judges it.

    None is judged where 100 % is not whole. ``is_known`` is False where something of the ratio, or of what stands
    in for it, is not counted.
    """

    name: str
    window: Window
    judged: Judged | None
    is_known: bool


@dataclass(frozen=True)
class OfRevision:
    """One revision by its digest, with every iteration that it is; ``table`` None where it cannot be weighed."""

    digest: str
    iterations: tuple[Iteration, ...]
    table: BakersTable | None


class OfPhoto(NamedTuple):
    """A photo of a test bake: ``shown`` is the picture, or why there is none; ``at`` the file it is looked for in."""

    bake: str
    revision: str
    photo: Photo
    at: str
    shown: ScaledPhoto | str


@dataclass(frozen=True)
class OfFormula:
    """What the pages of one formula tell; ``slug`` is its folder among them.

    ``table`` and ``contents`` are None where it cannot be weighed as it is: ``results`` say why.
    """

    slug: str
    path: str
    house: str
    changelog: Changelog
    standing: Standing
    product: str
    resolution_g: float
    table: BakersTable | None
    contents: Contents | None
    cautions: tuple[Caution, ...]
    windows: tuple[InWindow, ...]
    method: tuple[str, ...]
    revisions: tuple[OfRevision, ...]
    photos: tuple[OfPhoto, ...]
    results: tuple[Result, ...]


def of_formula(
    slug: str, changelog: Changelog, asked: AskedFormula, blobs: Mapping[str, bytes]
) -> OfFormula:
    """The values of one formula's pages; ``blobs`` holds the contents of its history by name."""
    file = str(asked.file)
    here, kitchen, shown = read_bytes(file), kitchen_for(file), display_path(file)
    now = weigh_or_tell(here, shown, kitchen)
    weighed, wrong = (now, ()) if isinstance(now, Balance) else (None, tuple(now))
    product = kitchen.house.classes.get(weighed.formula.product_class) if weighed else None
    table = bakers_table(weighed) if weighed else None
    return OfFormula(
        slug=slug,
        path=shown,
        house=kitchen.house.name,
        changelog=changelog,
        standing=standing(changelog),
        product=product.title if product else "",
        resolution_g=kitchen.house.scale_resolution_g,
        table=table,
        contents=contents(weighed, with_spreads=True) if weighed else None,
        cautions=cautions_that_hold(weighed, kitchen) if weighed else (),
        windows=tuple(_in_windows(weighed, kitchen)) if weighed else (),
        method=_method(weighed, kitchen) if weighed else (),
        revisions=tuple(_revisions(changelog, asked, blobs, table, kitchen)),
        photos=tuple(_photos(changelog)),
        results=wrong,
    )


def _in_windows(balance: Balance, kitchen: Kitchen) -> Iterator[InWindow]:
    product = kitchen.house.classes.get(balance.formula.product_class)
    if product is None or balance.basis_g <= 0:
        return
    known = context_of(balance, balance.formula.path, kitchen).ratios
    for name, window in product.windows.items():
        found = judged(known, name, product.windows) if balance.basis_is_whole else None
        lacking = known[name].lacking or (name in LEAST_GAS and known[GAS].lacking)
        yield InWindow(name, window, found, not lacking)


def _method(balance: Balance, kitchen: Kitchen) -> tuple[str, ...]:
    context = context_of(balance, balance.formula.path, kitchen)
    return method_sentences(balance.formula, not is_unbaked(context), balance.base_name)


def _photos(changelog: Changelog) -> Iterator[OfPhoto]:
    """The photos of all test bakes, the newest iteration first; each bake at the newest that it is of."""
    folder, told = changelog.path.parent / BAKES, set[str]()
    for iteration in reversed(changelog.iterations):
        for bake in iteration.bakes:
            record = str(folder / f"{bake.name}.yaml")
            for photo in bake.photos if bake.name not in told else ():
                at = str(folder / photo.file)
                yield OfPhoto(bake.name, iteration.digest, photo, at, shown_photo(record, photo))
            told.add(bake.name)


def _revisions(
    changelog: Changelog,
    asked: AskedFormula,
    blobs: Mapping[str, bytes],
    now: BakersTable | None,
    kitchen: Kitchen,
) -> Iterator[OfRevision]:
    """Every digest of the history once, oldest first; that of the file as it is has its table ``now``."""
    snapshots = asked.lineage.snapshots if asked.lineage else ()
    by_commit = {snapshot.commit.sha: snapshot.blob for snapshot in snapshots}
    found: dict[str, list[Iteration]] = {}
    for iteration in changelog.iterations:
        if iteration.digest:
            found.setdefault(iteration.digest, []).append(iteration)
    for digest, iterations in found.items():
        commit = iterations[0].commit
        if now and now.digest == digest:
            table: BakersTable | None = now
        else:
            table = (
                _table(blobs[by_commit[commit.sha]], str(asked.file), kitchen) if commit else None
            )
        yield OfRevision(digest, tuple(iterations), table)


def _table(content: bytes, path: str, kitchen: Kitchen) -> BakersTable | None:
    try:
        return bakers_table(weigh_file(content, display_path(path), kitchen))
    except FileProblem:  # the changelog says of the iteration what is wrong
        return None

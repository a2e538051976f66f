"""One end of a release: every formula as its commit holds it, with what speaks for it and against it."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_at
from perflour.cookbook.book import proofreader
from perflour.cookbook.page import Page, page_of
from perflour.cookbook.proofreading import Proofreader
from perflour.formula.digests import marks
from perflour.formula.formula import Waiver
from perflour.history.trials import BakedAs, TrialTold, trials_in
from perflour.kitchen.cautions import Caution
from perflour.kitchen.house import House, Kitchen, kitchen_for, read_valid
from perflour.lint.check import check_balance
from perflour.lint.situations import cautions_that_hold
from perflour.records.bake import Bake, bakes_of
from perflour.records.tasting import Session, session_from
from perflour.release.for_readers import yield_said
from perflour.release.statuses import RELEASED, UNREADABLE
from perflour.result import Result
from perflour.system.blobs import Blobs
from perflour.system.checkout import as_committed, checked_out, formula_beside, wanted_of
from perflour.system.git import tree
from perflour.system.paths import FORMULA_FILE, SESSIONS, asked_for, under

# Tasting sessions by formula and digest.
_Sessions = Mapping[tuple[str, str], Sequence[Session]]


@dataclass(frozen=True)
class Evidence:
    """What speaks for a revision, and what against it.

    ``bakes`` and ``sessions`` are of exactly this revision; ``results`` what lint says of it as an approved
    formula; ``rejecting`` the bakes that reject it after the last one that keeps it; ``makes`` its yield.
    ``trials`` are those that led to it, ``baked_as`` the variants of trials that are exactly this revision.
    """

    revision: str
    bakes: tuple[Bake, ...] = ()
    results: tuple[Result, ...] = ()
    rejecting: tuple[Bake, ...] = ()
    allergens: Allergens | None = None
    cautions: tuple[Caution, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    makes: str = ""
    sessions: tuple[Session, ...] = ()
    trials: tuple[TrialTold, ...] = ()
    baked_as: tuple[BakedAs, ...] = ()

    @property
    def blocking(self) -> tuple[Result, ...]:
        """The results that keep it out of a release; notes do not."""
        return tuple(result for result in self.results if result.level != "note")

    @property
    def is_blocked(self) -> bool:
        return bool(self.blocking or self.rejecting)


@dataclass(frozen=True)
class Side:
    """A formula as one end holds it: weighed, or what is wrong with it.

    ``page`` is what the book prints of it, where the book holds it. At the start nobody asks for more
    evidence than the revision and its bakes.
    """

    path: str
    balance: Balance | None
    house: House
    evidence: Evidence
    page: Page | None = None

    @property
    def status(self) -> str:
        return self.balance.formula.status if self.balance else UNREADABLE


@dataclass(frozen=True)
class End:
    """The formulas of one end by path, and who keeps the kitchen's words out of readers' texts."""

    sides: dict[str, Side]
    proof: Proofreader


NO_END = End({}, Proofreader(()))


def end_at(blobs: Blobs, commit: str, limits: Sequence[str], is_start: bool = False) -> End:
    """Every formula below the limits as a commit holds it; of the start only what it is compared by."""
    wanted = wanted_of(blobs, commit, tree(blobs.repository, commit))
    with checked_out(blobs, wanted) as commit_files:
        top = commit_files.top
        found = (path for path in commit_files.files if os.path.basename(path) == FORMULA_FILE)
        paths = sorted(found, key=lambda path: path.split("/"))
        proof = proofreader(PurePosixPath(path).parent.name for path in paths)
        sessions = {} if is_start else _sessions(top, commit_files.files)
        sides: dict[str, Side] = {}
        trials: dict[str, tuple[TrialTold, ...]] = {}
        for path in paths:
            if asked_for(path, limits):
                file = f"{top}/{path}"
                side, kitchen = _weighed(file, path, top)
                if not is_start:
                    folder = os.path.dirname(os.path.dirname(file))
                    if folder not in trials:
                        trials[folder] = trials_in(folder)
                    side = _judged(side, kitchen, file, sessions, trials[folder])
                sides[path] = _with_page(side, kitchen, proof)
        refused = {r.place.path: r for r in commit_files.refused if under(r.place.path, limits)}
        # a record that is a link elsewhere is no evidence, which is told of its formula
        for path, told in refused.items():
            formula = formula_beside(path)
            was = sides.get(formula) or Side(formula, None, House(), Evidence(""))
            evidence = replace(was.evidence, results=(*was.evidence.results, told))
            sides[formula] = replace(was, evidence=evidence)
        return End(dict(sorted(sides.items())), proof)


def _weighed(file: str, path: str, top: str) -> tuple[Side, Kitchen]:
    kitchen = kitchen_for(file)
    wrong = as_committed(kitchen.results, top)
    weighed = weigh_at(file, path, kitchen)
    if not isinstance(weighed, Balance):
        return Side(path, None, kitchen.house, Evidence("", results=wrong + weighed)), kitchen
    called = marks(weighed.formula)
    bakes = tuple(bakes_of(os.path.dirname(file), called))
    evidence = Evidence(called[0], bakes, wrong)
    return Side(path, weighed, kitchen.house, evidence), kitchen


def _judged(
    side: Side, kitchen: Kitchen, file: str, sessions: _Sessions, trials: Sequence[TrialTold]
) -> Side:
    """A formula with what speaks for it and against it, as it would be judged once approved."""
    weighed = side.balance
    if weighed is None:
        return side
    formula = weighed.formula._replace(status=RELEASED)
    results = check_balance(weighed._replace(formula=formula), file, kitchen)
    called = marks(formula)
    tasted = (one for m in called for one in sessions.get((formula.id, m), ()))
    own = [
        one
        for one in trials
        if one.trial.formula in (formula.id, os.path.basename(os.path.dirname(file)))
    ]
    evidence = replace(
        side.evidence,
        results=side.evidence.results + results,
        rejecting=_rejecting(side.evidence.bakes),
        allergens=allergens(weighed),
        cautions=cautions_that_hold(weighed, kitchen),
        waivers=formula.waivers,
        makes=yield_said(formula),
        sessions=tuple(dict.fromkeys(tasted)),
        trials=tuple(one for one in own if one.trial.led_to in called),
        baked_as=tuple(baked for one in own for baked in one.baked_as(called)),
    )
    return replace(side, evidence=evidence)


def _with_page(side: Side, kitchen: Kitchen, proof: Proofreader) -> Side:
    """A formula of the book with its page."""
    if side.balance is None or side.status != RELEASED:
        return side
    return replace(side, page=page_of(side.balance, side.evidence.bakes, kitchen, proof))


def _sessions(top: str, paths: Iterable[str]) -> _Sessions:
    """The sessions of a commit in which something was tasted; what is wrong with others is lint's to say."""
    found: dict[tuple[str, str], list[Session]] = defaultdict(list)
    for path in sorted(f"{top}/{path}" for path in paths if path.endswith(".yaml")):
        folder, name = os.path.split(path)
        if os.path.basename(folder) != SESSIONS or name == FORMULA_FILE:
            continue  # another record, or a formula called sessions
        document, _ = read_valid(path, "session")
        session = session_from(document.data, path) if document else None
        if session and session.is_tasted:
            for key in {(sample.formula, sample.of) for sample in session.samples}:
                found[key].append(session)
    return found


def _rejecting(bakes: Sequence[Bake]) -> tuple[Bake, ...]:
    """The bakes that reject a revision on or after the day it was last kept."""
    kept = max((bake.date for bake in bakes if bake.verdict == "keep"), default="")
    return tuple(bake for bake in bakes if bake.verdict == "reject" and bake.date >= kept)

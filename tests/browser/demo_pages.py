"""Every kind of HTML page, made of the demo by the real command line."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from tests.conftest import ROOT, git, run_cli

#: Changelogs, reviews and releases are of commits that a shallow clone lacks.
whole_history = pytest.mark.skipif(
    not (ROOT / ".git").exists()
    or git(ROOT, "rev-parse", "--is-shallow-repository").strip() == "true",
    reason="needs the repository's whole history",
)


class Made(NamedTuple):
    """What makes a page: its row in report/forms.py, and the words to type."""

    subject: str
    words: tuple[str, ...]


ROUND = "HEAD^{/^Record the fourth round}..HEAD"
SESSIONS = "formulas/sessions"
VARIED = ("--vary", "sugar=85..95", "--vary", "bake at=165..180 °C", "--bakes", "4", "--tasters", "3")  # fmt: skip

DEMO = {
    "compare": Made("compare", ("compare", "formulas")),
    "changelogs": Made("changelogs together", ("changelog", "formulas")),
    "history": Made("history", ("history", "formulas/rye-ginger-cookie", "sugar")),
    "review": Made("review", ("review", ROUND)),
    "release for the team": Made("release", ("release", ROUND)),
    "release for readers": Made("release", ("release", ROUND, "--for", "readers")),
    "release for the editor": Made("release", ("release", ROUND, "--for", "editor")),
    "cookbook": Made("draft", ("draft", "--all")),
    "plan": Made("plan", ("plan", "formulas/oat-date-loaf", "formulas/rye-ginger-cookie", "--ready-by", "15:00")),
    "bench sheets": Made("bench sheets", ("plan", "formulas/oat-date-loaf", "formulas/rye-ginger-cookie", "--print", "bench", "--ready-by", "15:00")),
    "trial plan": Made("trial", ("trial", "plan", "formulas/rye-ginger-cookie", *VARIED, "--dry-run")),
    "trial results": Made("trial results", ("trial", "results", "formulas/trials/cookie-chew")),
    "sheets for scores": Made("tasting sheets", ("bake", "sheets", f"{SESSIONS}/2026-11-25.yaml")),
    "sheets for triangles": Made("tasting sheets", ("bake", "sheets", f"{SESSIONS}/2026-11-25-b.yaml")),
    "sheets for ranks": Made("tasting sheets", ("bake", "sheets", f"{SESSIONS}/2026-11-28.yaml")),
}  # fmt: skip


def make(name: str, made: Made, into: Path, kitchen: Path = ROOT) -> Path:
    """The file of a page, made where it is not there yet."""
    file = into / f"{name.replace(' ', '-')}.html"
    if not file.exists():
        done = run_cli(*made.words, "--output", "html", cwd=kitchen)
        assert done.code in (0, 1), done.err
        file.write_text(done.out, encoding="utf-8")
    return file


def make_all(into: Path) -> list[Path]:
    """All pages of the demo but its site."""
    return [make(name, made, into) for name, made in DEMO.items()]


def make_site(into: Path) -> Path:
    """The pages of the whole kitchen, with a review."""
    done = run_cli("site", str(into), "--review", ROUND, cwd=ROOT)
    assert done.code in (0, 1), done.err
    return into


#: The pages of a kind stand in one kind of folder.
SITE_KINDS = (
    "index.html",
    "bakes/index.html",
    "compare/index.html",
    "compare/[!i]*.html",
    "evidence/index.html",
    "evidence/[!i]*.html",
    "formulas/index.html",
    "formulas/*/index.html",
    "formulas/*/[!i]*.html",
    "ingredients/index.html",
    "releases/index.html",
    "reviews/index.html",
    "reviews/[!i]*.html",
    "trials/index.html",
    "trials/[!i]*.html",
)

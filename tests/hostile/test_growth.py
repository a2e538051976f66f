"""Work grows with what it is done on, not with its square: processor time by doubled sizes, memory by a limit."""

from __future__ import annotations

import gc
import time
from collections import Counter
from collections.abc import Callable
from math import log
from pathlib import Path
from random import Random

import pytest

from perflour.diff.difference import Difference, difference_between
from perflour.recipe.request import import_recipe
from perflour.report.diff.words import change_text
from tests.conftest import formula_text, git, run_cli, weigh_text
from tests.hostile.within import GIB, run_within

#: Time grows as size to this power at most; 1 is in step with it, 2 is what is looked for.
NEAR_LINEAR = 1.5
#: How often all sizes are measured, at least and at most; other programs may have the machine meanwhile.
FEWEST_ROUNDS, ROUNDS = 3, 10
SIZES = (500, 1000, 2000)
VERBS = ("mix", "fold", "rest", "sift", "knead", "chill", "beat")

Work = Callable[[], object]


def seconds(work: Work) -> float:
    """The processor time of one run, without what the tests' own garbage costs."""
    gc.collect()
    gc.disable()
    try:
        start = time.process_time()
        work()
        return time.process_time() - start
    finally:
        gc.enable()


def exponent(at_size: Callable[[int], Work], sizes: tuple[int, ...] = SIZES) -> float:
    """The power of the size that time grows with, by the least time of each size.

    A load from outside only lengthens a time, so the least of many is near the true one; the
    sizes take turns, so that a busy second does not fall on one of them alone.
    """
    works = [at_size(size) for size in sizes]
    works[0]()  # loads what is loaded once
    least = [float("inf") for _ in works]
    for done in range(1, ROUNDS + 1):
        least = [min(known, seconds(work)) for known, work in zip(least, works, strict=True)]
        grown = log(least[-1] / least[0]) / log(sizes[-1] / sizes[0])
        if done >= FEWEST_ROUNDS and grown <= NEAR_LINEAR:
            break
    return grown


def test_a_square_is_told_from_a_line() -> None:
    def squares(size: int) -> Work:
        return lambda: sum(1 for a in range(size) for b in range(size) if a == b)

    assert exponent(squares, (300, 1200)) > NEAR_LINEAR
    assert exponent(lambda size: lambda: sum(range(size)), (200_000, 800_000)) <= NEAR_LINEAR


# --- diff ---


def steps(count: int, words: str, chance: Random) -> list[str]:
    return [
        f"{{do: {chance.choice(VERBS)}, note: {words} {n} {chance.random()}}}" for n in range(count)
    ]


def with_steps(listed: list[str]) -> str:
    return formula_text("{item: salt, amount: 2 g}", method=f"[{', '.join(listed)}]")


def shuffled_steps(count: int) -> tuple[str, str]:
    chance = Random(count)
    before = steps(count, "turn", chance)
    return with_steps(before), with_steps(chance.sample(before, count))


def rewritten_steps(count: int) -> tuple[str, str]:
    chance = Random(count)
    mixed, stirred = (
        [f"{{do: {verb} {n}, until: shade {chance.random()}}}" for n in range(count)]
        for verb in ("mix", "stir")
    )
    return with_steps(mixed), with_steps(stirred)


def unrelated_lines(count: int) -> tuple[str, str]:
    chance = Random(count)
    lines = [
        f"{{item: {''.join(chance.choices('abcdefghijklmnopqrstuvwxyz', k=12))}, amount: {chance.randint(1, 900)} g}}"
        for _ in range(count)
    ]
    flour = "{item: all-purpose flour, amount: 300 g}"
    return formula_text(flour, *lines[::2]), formula_text(flour, *lines[1::2])


def lines_of_one_flour(count: int) -> tuple[str, str]:
    chance = Random(count)
    lines = [
        f"{{item: all-purpose flour, amount: {chance.randint(1, 99999)} g}}"
        for _ in range(2 * count)
    ]
    return formula_text(*lines[:count]), formula_text(*lines[count:])


PAIRS = (shuffled_steps, rewritten_steps, unrelated_lines, lines_of_one_flour)


def compared(before: str, after: str) -> Difference:
    return difference_between(weigh_text(before), weigh_text(after))


@pytest.mark.parametrize("pair", PAIRS)
def test_a_difference_takes_time_in_step_with_the_formulas(
    pair: Callable[[int], tuple[str, str]],
) -> None:
    def at_size(size: int) -> Work:
        before, after = map(weigh_text, pair(size))
        return lambda: difference_between(before, after)

    assert exponent(at_size) <= NEAR_LINEAR


def test_of_a_shuffled_method_every_step_moved() -> None:
    before, after = shuffled_steps(1000)
    there, back = compared(before, after), compared(after, before)
    assert {change.kind for change in there.changes} == {"step-moved"}
    assert len(there.changes) > 900
    assert {(c.text_before, c.text_after) for c in there.changes} == {
        (c.text_after, c.text_before) for c in back.changes
    }


def test_one_step_changed_in_a_long_method_is_one_change() -> None:
    listed = steps(1000, "turn", Random(1))
    edited = [*listed[:500], listed[500].replace("turn", "twist"), *listed[502:], listed[501]]
    before, after = with_steps(listed), with_steps(edited)
    kinds = Counter(change.kind for change in compared(before, after).changes)
    assert kinds == {"step-reworded": 1, "step-moved": 1}


@pytest.mark.parametrize(
    ("pair", "count", "said"),
    [
        (rewritten_steps, 400, "steps compared in part: 400 removed and 400 added are too many"),
        (unrelated_lines, 400, "lines compared in part: 200 removed and 200 added are too many"),
    ],
)
def test_what_was_not_compared_is_said(
    pair: Callable[[int], tuple[str, str]], count: int, said: str
) -> None:
    told = [change_text(change) for change in compared(*pair(count)).changes]
    assert any(line.startswith(said) for line in told), told[:5]
    assert not any("in part" in change_text(c) for c in compared(*pair(100)).changes)


@pytest.fixture(scope="module")
def shuffled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A formula with as many steps as there may be, all in another order in its second commit."""
    repository = tmp_path_factory.mktemp("shuffled")
    git(repository, "init", "-q", "-b", "main")
    path = repository / "formulas" / "trial" / "formula.yaml"
    path.parent.mkdir(parents=True)
    for text in shuffled_steps(2000):
        path.write_text(text, encoding="utf-8")
        git(repository, "add", ".")
        git(repository, "commit", "-q", "-m", "Shuffle")
    return repository


@pytest.mark.parametrize(
    "words",
    [
        "diff HEAD~1",
        "changelog",
        "review HEAD~1..HEAD",
        "release HEAD~1..HEAD",
        "lint",
        "show",
        "draft --all --output html",
        "format --check",
    ],
)
def test_what_is_told_of_a_shuffled_method_fits_in_little_memory(
    words: str, shuffled: Path
) -> None:
    done = run_within(words.split(), shuffled, GIB // 2)
    assert done.code in (0, 1), done.err[-300:]


# --- import ---

HEAD, METHOD = "Cake\n\nIngredients\n300 g flour\n", "\n\nMethod\nMix the flour.\n"
PAGE = '<html><script type="application/ld+json">{}</script>'.format(
    '{"@type": "Recipe", "name": "Cake", "recipeIngredient": ["300 g flour"]}'
)
#: What is put between two texts so many times, and the ending of the file.
REPEATED = {
    "brackets in brackets": (HEAD, "1 (", METHOD, ".txt"),
    "1 cup plus": (HEAD, "1 cup plus ", METHOD, ".txt"),
    "names in equal parts": (f"{HEAD}1 cup a", " and a", f" in equal parts{METHOD}", ".txt"),
    "headings on one line": (HEAD, "Method: ", "\n", ".txt"),
    "parts of one name": (HEAD, "For the top:\n" + "1 g flour\n" * 10, METHOD, ".txt"),
    "one long step": (f"{HEAD}\n\nMethod\n", "mix it well, ", "\n", ".txt"),
    "steps": (f"{HEAD}\n\nMethod\n", "Mix the flour for 1 min. ", "\n", ".txt"),
    "comments never closed": (PAGE, "<!--", "", ".html"),
    "tags never closed": (PAGE, "<a ", "", ".html"),
    "scripts never closed": (PAGE, "<script ", "", ".html"),
}


@pytest.mark.parametrize("name", REPEATED)
def test_an_import_takes_time_in_step_with_the_file(name: str, tmp_path: Path) -> None:
    before, repeated, after, ending = REPEATED[name]

    def at_size(size: int) -> Work:
        file = tmp_path / f"{size}{ending}"
        file.write_text(f"{before}{repeated * (size // len(repeated))}{after}", encoding="utf-8")
        return lambda: import_recipe(str(file))

    assert exponent(at_size, (4_000, 16_000)) <= NEAR_LINEAR


def test_a_line_that_is_too_long_is_kept_and_flagged(tmp_path: Path) -> None:
    line = f"200 g {'very ' * 300}fine sugar"
    (tmp_path / "cake.txt").write_text(f"{HEAD}{line}{METHOD}", encoding="utf-8")
    done = run_cli("import", "cake.txt", cwd=tmp_path)
    assert done.code == 1
    assert (
        "not read as an ingredient; longer than 1000 signs; write one ingredient a line" in done.err
    )
    assert done.out.count("very") >= 300


@pytest.mark.parametrize("page", ["<html><![<![<![", "<html><script ", "<html><!-- "])
def test_a_page_that_breaks_off_holds_no_recipe(page: str, tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text(page, encoding="utf-8")
    done = run_cli("import", "page.html", cwd=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert done.err.strip().endswith("found; save the whole page, or paste the text")


@pytest.mark.parametrize(
    "tag",
    [
        "<script type='application/ld+json; charset=utf-8'>",
        '<SCRIPT data-of="a > b"\n TYPE = application/LD+JSON >',
        '<script type="text/plain">"<script>"</script><!-- <script> --><script id=x type="application/ld&#43;json">',
    ],
)
def test_a_recipe_is_found_however_its_tag_is_written(tag: str, tmp_path: Path) -> None:
    page = PAGE.replace('<script type="application/ld+json">', tag)
    (tmp_path / "page.html").write_text(page, encoding="utf-8")
    assert "item: flour, amount: 300 g" in run_cli("import", "page.html", cwd=tmp_path).out


# --- what a formula may hold ---

SALT, FLOUR = "{item: salt, amount: 2 g}", "{item: all-purpose flour, amount: 1 g}"
PART = f"  - {{part: x, ingredients: [{SALT}]}}\n"
USES = ", ".join(f"thing {number}" for number in range(501))
LIMITS = {
    "steps": (
        with_steps(["{do: fold}"] * 2001),
        "9:9: error: `method` is longer than 2,000; split it",
    ),
    "parts": (
        with_steps([]).replace("method:", PART * 200 + "method:"),
        "6:3: error: `parts` is longer than 200; split it",
    ),
    "lines of one part": (formula_text(*[FLOUR] * 5001), "longer than 5,000; split it"),
    "what a step uses": (
        with_steps([f"{{do: fold, uses: [{USES}]}}"]),
        "longer than 500; split it",
    ),
}


@pytest.mark.parametrize("name", LIMITS)
def test_more_than_a_formula_may_hold_is_said_at_its_place(name: str, tmp_path: Path) -> None:
    text, said = LIMITS[name]
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    done = run_cli("lint", "formula.yaml", cwd=tmp_path)
    assert done.code == 1
    assert said in done.all.splitlines()[0]

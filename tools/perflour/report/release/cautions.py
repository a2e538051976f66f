"""Cautions of several formulas, each once, with the formulas it holds for; and names of allergens, each once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from perflour.cookbook.english import plural
from perflour.kitchen.cautions import Caution, texts
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.release.release import Released  # a review makes no pages: docs/performance.md

#: In `data/cautions.yaml`: what is said wherever allergens are.
WITH_ALLERGENS = frozenset(("allergens",))


def cautions_of(formulas: Sequence[Released], in_short: bool) -> Iterator[tuple[str, list[str]]]:
    """The usual cautions of some formulas, whole or a sentence of each, below the titles they hold for."""
    held: dict[Caution, tuple[str, ...]] = {}
    for formula in formulas:
        for caution in formula.evidence.cautions if formula.evidence else ():
            held[caution] = (*held.get(caution, ()), formula.title)
    for titles in dict.fromkeys(held.values()):
        whose = "Every formula here" if len(titles) == len(formulas) > 1 else "; ".join(titles)
        texts_of = [caution for caution, of in held.items() if of == titles]
        yield whose, [caution.in_short if in_short else caution.text for caution in texts_of]


def cautions_with_allergens(titles: Sequence[str]) -> list[tuple[str, list[str]]]:
    """What is said of allergens that are newly there, once for all formulas that have some."""
    said = [caution.text for caution in texts().that_hold(WITH_ALLERGENS)]
    return [("; ".join(titles), said)] if titles else []


def by_what_brings(brought: Iterable[tuple[str, Sequence[str]]]) -> Iterator[tuple[str, str]]:
    """Allergens of both lists with the ingredients of each: those of the same ingredients together, each once."""
    found: dict[str, list[str]] = {}
    for name, by in brought:
        found.setdefault(", ".join(by), []).append(name)
    return ((" / ".join(_each_once(names)), by) for by, names in found.items())


def _each_once(names: Sequence[str]) -> list[str]:
    """Without a name that is another's plural."""
    return [name for name in names if not any(name == plural(n) != n for n in names)]

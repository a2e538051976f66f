"""A formula as one page of a cookbook, in values: what is printed of it, before any rounding.

Nothing internal is on a page: no ids, digests, verdicts, waivers or names of bakers.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance, Hundred, TotalLine
from perflour.balance.parts import PartBalance, Weighed
from perflour.balance.ratios import is_fine
from perflour.cookbook.book_file import BookFile
from perflour.cookbook.measures import Owned, measure_of
from perflour.cookbook.photos import Photo, kept_bakes, photos_of
from perflour.cookbook.proofreading import Proofreader
from perflour.cookbook.steps.scales import both_scales, text_in_both_scales
from perflour.cookbook.steps.step_text import Writer, method_sentences
from perflour.formula.formula import Formula, Reading
from perflour.kitchen.cautions import Caution, texts
from perflour.kitchen.house import Kitchen
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Duration
from perflour.lint.ask.raw import is_unbaked
from perflour.lint.judging import context_of
from perflour.lint.situations import method_situations
from perflour.plain import one_line
from perflour.records.bake import Bake
from perflour.result import Place

# Readings of a test bake that help a reader, in the order they are told.
READINGS = ("bake-time", "core", "height", "spread")
USUAL = BookFile()


class PageLine(NamedTuple):
    """One ingredient. ``mass_g`` None where it cannot be weighed; ``measure`` in cups, spoons, pieces.

    ``percent`` is of the basis of the part where it has one, else of all; ``fine`` asks for two
    decimals. ``main_name`` is what the index lists it under.
    """

    name: str
    main_name: str
    is_part: bool
    mass_g: float | None
    measure: str
    percent: float | None
    fine: bool
    remark: str


class PagePart(NamedTuple):
    """A part with its mass; ``share_used`` is 1 where all of it ends in the product."""

    name: str
    mass_g: float
    share_used: float
    notes: str
    lines: tuple[PageLine, ...]


class Minutes(NamedTuple):
    """A time or range in minutes."""

    low: float
    high: float


class KitchenNote(NamedTuple):
    """What a test bake of exactly this version left for the reader: words, and readings by name."""

    text: str
    readings: tuple[tuple[str, str], ...]


class Turn(NamedTuple):
    """One turn in the story of a formula: what was found at a version, or, with ``because``, what was tried after it."""

    version: int
    text: str
    because: str = ""


class Story(NamedTuple):
    """How a formula came about; ``versions`` and ``bakes`` count what went before it."""

    versions: int
    bakes: int
    turns: tuple[Turn, ...]


class Page(NamedTuple):
    """One formula for a reader. ``hundreds`` says what is 100 % in its tables, each with its mass.

    ``total`` is the base in all, preferments opened, where there is a preferment; ``base`` is its name. ``oven`` holds
    the temperatures of the bake steps, ``oven_time`` their times together; ``timed`` sums every time
    the method states. ``variations``, ``story`` and ``photos`` are there where the book has them.
    """

    title: str
    kind: str
    headnote: str
    citation: str
    pieces: int | None
    piece: str
    mass_per_piece_g: float | None
    batch_g: float
    is_baked: bool
    scale_resolution_g: float
    basis_g: float
    base: str
    hundreds: tuple[tuple[str, float], ...]
    parts: tuple[PagePart, ...]
    total: tuple[PageLine, ...]
    steps: tuple[str, ...]
    oven: tuple[str, ...]
    oven_time: Minutes | None
    timed: Minutes | None
    kitchen_notes: tuple[KitchenNote, ...]
    declared_allergens: tuple[str, ...]
    allergens: Allergens
    cautions: tuple[Caution, ...]
    variations: tuple[str, ...] = ()
    story: Story | None = None
    photos: tuple[Photo, ...] = ()


def page_of(
    balance: Balance,
    bakes: Sequence[Bake],
    kitchen: Kitchen,
    proof: Proofreader,
    settled: BookFile = USUAL,
    story: Story | None = None,
    write: Writer = method_sentences,
) -> Page:
    """The page of a formula; ``proof`` keeps internal words out of what people wrote.

    ``write`` makes sentences of its steps.
    """
    formula = balance.formula
    product = kitchen.house.classes.get(formula.product_class)
    context = context_of(balance, formula.path, kitchen)
    brought = allergens(balance)
    kept = kept_bakes(formula, bakes)
    cleaned, baked = _cleaned(formula, proof), not is_unbaked(context)
    baking = [step for step in formula.method if step.bakes]
    heat = [reading for step in baking if (reading := step.at or step.to)]
    return Page(
        title=one_line(formula.title),
        kind=product.title if product else _spoken(formula.product_class),
        headnote=text_in_both_scales(proof.keep(formula.notes, formula.place("notes"))),
        citation=proof.keep(formula.citation, formula.place("citation")),
        pieces=formula.yields.pieces if formula.yields else None,
        piece=formula.yields.piece if formula.yields else "",
        mass_per_piece_g=balance.mass_per_piece_g,
        batch_g=balance.batch_g,
        is_baked=baked,
        scale_resolution_g=kitchen.house.scale_resolution_g,
        basis_g=balance.basis_g,
        base=balance.base_name,
        hundreds=tuple(all_hundreds(balance).items()),
        parts=tuple(_part(part, proof, settled.owned) for part in balance.parts),
        total=_total(balance),
        steps=write(cleaned, baked, balance.base_name),
        oven=tuple(dict.fromkeys(both_scales(reading.text, reading.value) for reading in heat)),
        oven_time=_minutes(step.time for step in baking),
        timed=_minutes(step.time for step in formula.method),
        kitchen_notes=_kitchen_notes(kept, proof),
        photos=photos_of(kept, proof),
        declared_allergens=formula.allergens,
        allergens=brought,
        cautions=brought.cautions + texts().that_hold(method_situations(context)),
        variations=tuple(
            proof.keep(text, formula.place("title"))
            for text in settled.extras(formula.id).variations
        ),
        story=story and _proofread(story, formula, proof),
    )


def _proofread(story: Story, formula: Formula, proof: Proofreader) -> Story:
    """The story without turns that hold internal words."""
    place = formula.place("title")
    turns = (
        Turn(
            turn.version,
            text_in_both_scales(proof.keep(turn.text, place)),
            text_in_both_scales(proof.keep(turn.because, place)),
        )
        for turn in story.turns
    )
    kept = (turn for turn, was in zip(turns, story.turns, strict=True) if turn.text and bool(turn.because) == bool(was.because))  # fmt: skip
    return Story(story.versions, story.bakes, tuple(kept))


def _spoken(slug: str) -> str:
    words = slug.replace("-", " ").replace("_", " ")
    return words[:1].upper() + words[1:]


def _cleaned(formula: Formula, proof: Proofreader) -> Formula:
    """The formula without remarks on steps that hold internal words."""
    steps = tuple(
        step._replace(said={**step.said, "note": proof.keep(step.said["note"], step.place)})
        if "note" in step.said
        else step
        for step in formula.method
    )
    return formula._replace(method=steps)


def _in_words(of: Hundred, in_all: bool) -> str:
    return f"{of.said} in all" if in_all else of.said


def all_hundreds(
    balance: Balance, say: Callable[[Hundred, bool], str] = _in_words
) -> dict[str, float]:
    """What percentages are of, in the order of the parts, with its mass in g; ``say`` puts it into words."""
    beside = {fold(one.part.part.name): one.basis_g for one in balance.beside}
    found: dict[str, float] = {}
    for part in balance.parts:
        of_g = part.basis_g or beside.get(part.beside, balance.basis_g)
        if of_g and any(line.percent is not None for line in part.lines):
            found.setdefault(say(balance.hundred_of(part), False), of_g)
    if balance.prefermented_g:
        found[say(balance.hundred, True)] = balance.basis_g
    return found


def _part(part: PartBalance, proof: Proofreader, owned: Owned) -> PagePart:
    return PagePart(
        name=part.part.name,
        mass_g=part.mass_g,
        share_used=part.portion,
        notes=text_in_both_scales(proof.keep(part.part.notes, part.part.place)),
        lines=tuple(_line(weighed, proof, owned) for weighed in part.lines),
    )


def _line(weighed: Weighed, proof: Proofreader, owned: Owned) -> PageLine:
    line = weighed.line
    note = text_in_both_scales(proof.keep(line.note, line.place))
    return PageLine(
        name=line.name,
        main_name=weighed.name,
        is_part=line.is_part,
        mass_g=weighed.mass.grams if weighed.mass else None,
        measure=measure_of(weighed, owned),
        percent=weighed.percent,
        fine=is_fine(weighed.ingredient),
        remark=", ".join(filter(None, (line.state, note))),
    )


def _total(balance: Balance) -> tuple[PageLine, ...]:
    if not balance.prefermented_g:
        return ()
    return tuple(map(_total_line, balance.total))


def _total_line(line: TotalLine) -> PageLine:
    fine = is_fine(line.ingredient)
    return PageLine(line.name, line.name, False, line.mass_g, "", line.percent, fine, "")


def _minutes(times: Iterable[Reading[Duration] | None]) -> Minutes | None:
    """The sum of the times that are stated and can be read."""
    known = [reading.value for reading in times if reading and reading.value]
    if not known:
        return None
    return Minutes(sum(d.low_min for d in known), sum(d.high_min for d in known))


def _kitchen_notes(
    kept: Sequence[tuple[Bake, Place]], proof: Proofreader
) -> tuple[KitchenNote, ...]:
    """Of the bakes of exactly this version that the kitchen kept."""
    notes = (
        KitchenNote(text_in_both_scales(proof.keep(bake.notes, record)), _readings(bake))
        for bake, record in kept
    )
    return tuple(note for note in notes if note.text or note.readings)


def _readings(bake: Bake) -> tuple[tuple[str, str], ...]:
    measured = dict(bake.measured)
    return tuple(
        (name, text_in_both_scales(measured[name]) if name == "core" else measured[name])
        for name in READINGS
        if name in measured
    )

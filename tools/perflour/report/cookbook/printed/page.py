"""A formula as it is printed: every text and figure in the words and signs of all renderers."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.balance.allergens import Brought
from perflour.cookbook.english import counted, plural, sentence
from perflour.cookbook.page import KitchenNote, Minutes, Page, PageLine, PagePart, Story
from perflour.cookbook.photos import Photo
from perflour.kitchen.cautions import Caution
from perflour.kitchen.figures import grams, percent
from perflour.kitchen.language import ENGLISH
from perflour.report.cookbook.printed.words import Words, book_words
from perflour.report.form.signs import typeset

# Shorter times in all tell a reader nothing: house choice.
LEAST_TOLD_MIN = 15
#: Whose cautions hold for every formula, and stand once at the front of a book.
GENERAL = frozenset(("allergens", "core", "food-code"))
GRAMS, HOUSEHOLD, BOTH = "grams", "household", "both"


class PrintedRow(NamedTuple):
    """One line of a table of ingredients; ``amounts`` are a cell each, as the book's columns."""

    amounts: tuple[str, ...]
    name: str
    remark: str
    percent: str
    is_part: bool = False


class Table(NamedTuple):
    """A part; ``grams`` is what it weighs together, ``remark`` a text below it."""

    title: str
    grams: str
    remark: str
    rows: tuple[PrintedRow, ...]


class Labelled(NamedTuple):
    """A word and what it says: a line of facts, a turn of a story, a list of allergens."""

    label: str
    text: str


class PrintedPage(NamedTuple):
    """``cautions`` are those of this formula alone; what holds for all stands at the front of the book."""

    title: str
    kind: str
    headnote: str
    facts: tuple[Labelled, ...]
    photos: tuple[Photo, ...]
    tables: tuple[Table, ...]
    table_note: str
    steps: tuple[str, ...]
    variations: tuple[str, ...]
    kitchen_notes: tuple[str, ...]
    story_of: str
    story: tuple[Labelled, ...]
    allergens: tuple[Labelled, ...]
    cautions: tuple[str, ...]
    source: str


def printed_page(page: Page, words: Words | None = None, amounts: str = BOTH) -> PrintedPage:
    """One page in words."""
    words = words or book_words()
    return PrintedPage(
        title=typeset(page.title),
        kind=typeset(page.kind),
        headnote=typeset(page.headnote),
        facts=tuple(_facts(page, words)),
        photos=page.photos,
        tables=tuple(_tables(page, words, amounts)),
        table_note=_table_note(page, words),
        steps=tuple(map(typeset, page.steps)),
        variations=tuple(map(typeset, page.variations)),
        kitchen_notes=tuple(typeset(_kitchen_note(note, words)) for note in page.kitchen_notes),
        story_of=_story_of(page.story, words),
        story=tuple(_story(page.story, words)),
        allergens=tuple(_allergens(page, words)),
        cautions=tuple(typeset(c.text) for c in page.cautions if not is_general(c)),
        source=typeset(sentence(words.say("adapted", citation=page.citation)))
        if page.citation
        else "",
    )


def is_general(caution: Caution) -> bool:
    """Whether a caution holds for every formula alike."""
    return caution.when in GENERAL


def yield_words(page: Page, words: Words | None = None) -> str:
    """``48 cookies of 34 g each, weighed before baking``; nothing without a yield."""
    if page.pieces is None:
        return ""
    words = words or book_words()
    pieces = counted(page.pieces, page.piece) if words.language == ENGLISH else f"{page.pieces} {page.piece}"  # fmt: skip
    if not page.mass_per_piece_g:
        return pieces
    mass = _figure(page.mass_per_piece_g, page, words)
    key = "yield-each" if page.pieces > 1 else "yield-one"
    said = words.say(key, pieces=pieces, mass=mass)
    return words.say("yield-before-baking", **{"yield": said}) if page.is_baked else said


def _facts(page: Page, words: Words) -> Iterator[Labelled]:
    if page.pieces is not None:
        yield Labelled(words["makes"], typeset(yield_words(page, words)))
    if page.batch_g:
        yield Labelled(words["batch"], _weight(page.batch_g, page, words))
    heat = typeset("; ".join(page.oven))
    time = _time(page.oven_time, words) if page.oven_time else ""
    if page.is_baked and (heat or time):
        yield Labelled(words["oven"], ", ".join(filter(None, (heat, time))))
    if page.timed and page.timed.high >= LEAST_TOLD_MIN:
        clock = _clock(_to_five(page.timed.high), words)
        yield Labelled(words["time"], words.say("timed", time=clock))


def _time(minutes: Minutes, words: Words) -> str:
    if minutes.low == minutes.high:
        return _clock(minutes.high, words)
    if minutes.high < 100:
        return words.say("minutes", n=words.figures(f"{minutes.low:g}–{minutes.high:g}"))
    low, high = _clock(minutes.low, words), _clock(minutes.high, words)
    return words.say("time-range", low=low, high=high)


def _clock(minutes: float, words: Words) -> str:
    """``45 min``, ``90 min``, ``2 h 45 min``, ``14 h``."""
    if minutes < 100:
        return words.say("minutes", n=words.figures(f"{minutes:g}"))
    hours, rest = divmod(round(minutes), 60)
    if rest:
        return words.say("hours-minutes", hours=hours, minutes=rest)
    return words.say("hours", n=hours)


def _to_five(minutes: float) -> float:
    return minutes if minutes < 10 else 5 * round(minutes / 5)


def _tables(page: Page, words: Words, amounts: str) -> Iterator[Table]:
    for part in page.parts:
        yield _table(part, page, words, amounts)
    if page.total:
        rows = tuple(_row(line, page, words, amounts, False) for line in page.total)
        weight = _weight(sum(line.mass_g or 0.0 for line in page.total), page, words)
        title = _capital(typeset(words.say("in-all", base=page.base)))
        yield Table(title, weight, words["preferment-opened"], rows)


def _table(part: PagePart, page: Page, words: Words, amounts: str) -> Table:
    share = words.figures(percent(part.share_used * 100))
    used = words.say("used", share=share) if 0 < part.share_used < 1 else ""
    return Table(
        title=_capital(typeset(part.name)),
        grams="" if amounts == HOUSEHOLD else _weight(part.mass_g, page, words),
        remark=typeset(" ".join(filter(None, (sentence(used), sentence(part.notes))))),
        rows=tuple(_row(line, page, words, amounts, not line.is_part) for line in part.lines),
    )


def _row(line: PageLine, page: Page, words: Words, amounts: str, by_weight: bool) -> PrintedRow:
    weight, measure = amounts_of(line, page, words)
    cells: tuple[str, ...]
    if amounts == BOTH:
        cells = (weight or "–", measure or (words["by-weight"] if by_weight and weight else ""))
    else:
        first, second = (weight, measure) if amounts == GRAMS else (measure, weight)
        cells = (first or second or "–",)
    return PrintedRow(
        amounts=cells,
        name=typeset(_named(line, words)),
        remark=typeset(line.remark),
        percent="" if line.percent is None else words.figures(percent(line.percent, line.fine)),
        is_part=line.is_part,
    )


def amounts_of(line: PageLine, page: Page, words: Words) -> tuple[str, str]:
    """The weight of a line and its measure, each empty where there is none."""
    weight = "" if line.mass_g is None else _weight(line.mass_g, page, words)
    return weight, words.measure(typeset(line.measure))


def _weight(mass_g: float, page: Page, words: Words) -> str:
    return words.say("gram", n=_figure(mass_g, page, words))


def _figure(mass_g: float, page: Page, words: Words) -> str:
    return words.figures(grams(mass_g, page.scale_resolution_g))


def _named(line: PageLine, words: Words) -> str:
    """The name beside its amount: two large eggs, not two large egg."""
    number, _, size = line.measure.partition(" ")
    several = number.isdigit() and int(number) > 1 and size in ("", "small", "medium", "large")
    return plural(line.name) if several and words.language == ENGLISH else line.name


def _table_note(page: Page, words: Words) -> str:
    """What 100 % is: `100 % is the dough's flour, 900 g; the glaze's powdered sugar, 120 g.`"""
    said = [
        words.say("hundred-of", of=of, mass=_figure(mass_g, page, words))
        for of, mass_g in page.hundreds
    ]
    return typeset(sentence(words.say("hundred", bases="; ".join(said)))) if said else ""


def _kitchen_note(note: KitchenNote, words: Words) -> str:
    readings = ", ".join(words.say(f"kitchen-{name}", value=value) for name, value in note.readings)
    return " ".join(filter(None, (sentence(note.text), sentence(readings))))


def _story_of(story: Story | None, words: Words) -> str:
    if story is None or not story.turns:
        return ""
    return sentence(words.say("story-versions", versions=story.versions, bakes=story.bakes))


def _story(story: Story | None, words: Words) -> Iterator[Labelled]:
    for turn in story.turns if story else ():
        said = words.say("story-because", tried=turn.text, because=turn.because) if turn.because else turn.text  # fmt: skip
        label = words.say("story-next" if turn.because else "story-of", n=turn.version)
        yield Labelled(label, typeset(sentence(said)))


def _allergens(page: Page, words: Words) -> Iterator[Labelled]:
    found = page.allergens
    yield Labelled(words["allergens-us"], _brought(found.us, words))
    yield Labelled(words["allergens-eu"], _brought(found.eu, words))
    if page.declared_allergens:
        yield Labelled(words["allergens-declared"], typeset(", ".join(page.declared_allergens)))
    if found.not_known:
        yield Labelled(words["allergens-unknown"], typeset(", ".join(found.not_known)))


def _brought(brought: Sequence[Brought], words: Words) -> str:
    if not brought:
        return words["allergens-none"]
    return typeset("; ".join(f"{b.allergen} ({', '.join(b.by)})" for b in brought))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

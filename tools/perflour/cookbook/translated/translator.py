"""A page in another language than that of formula files: names, states, measures, allergens, cautions, sentences."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping

from perflour.balance.allergens import Allergens, Brought
from perflour.balance.balance import Balance, Hundred
from perflour.balance.parts import Weighed
from perflour.cookbook.page import KitchenNote, Page, PageLine, PagePart, Story, Turn, all_hundreds
from perflour.cookbook.translated.grammars import GRAMMARS
from perflour.cookbook.translated.speaker import Speaker, plain_name
from perflour.formula.formula import Formula
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.cautions import AllergenName, Caution, texts
from perflour.kitchen.language import Noun
from perflour.kitchen.names import fold

# How large what is counted is: `2 large`.
_SIZED = re.compile(r"(\d[\d./ -]*) (jumbo|extra large|large|medium|small|extra small)\b")
# Up to here one is spoken of: `1`, `1/2`.
_ONE = re.compile(r"1|\d+/\d+|0?\.\d+")
_BEHIND = re.compile(r"(?P<head>[^,(]*[^,( ])(?:, (?P<sort>[^(]+?))?(?: \((?P<more>.+)\))?")


class Translator:
    """The page of one formula in the language of its book."""

    def __init__(self, balance: Balance, catalogue: Catalogue, speaker: Speaker) -> None:
        self.balance, self.speaker = balance, speaker
        self.grammar = GRAMMARS[speaker.language.language]
        self.catalogue = catalogue
        #: Foods by the formula's names, and what these say of states.
        self.foods = {
            fold(w.line.name): speaker.food(w.line.name, catalogue)
            for w in balance.ingredient_lines
        }

        self.in_text = self._in_text()

    def sentences(self, formula: Formula, baked: bool, base: str) -> tuple[str, ...]:
        """Every step of the method."""
        parts = {fold(part.name): self.speaker.part(part.name) for part in formula.parts}
        names = {**self.in_text, **parts}
        for step in formula.method:
            for use in step.uses:
                if fold(use.name) not in names and self.catalogue.find(use.name):
                    names[fold(use.name)] = self.speaker.food(use.name, self.catalogue)[0]
        return self.grammar.sentences(formula, baked, base, self.speaker, names)

    def _in_text(self) -> dict[str, Noun]:
        """Foods as a sentence calls them: in short where no other food of the formula is called so."""
        nouns = {name: noun for name, (noun, _) in self.foods.items()}
        short = Counter(plain_name(name) for name in {noun.name for noun in nouns.values()})
        return {
            name: noun._replace(
                name=plain_name(noun.name)
                if short[plain_name(noun.name)] == 1
                else _in_one(noun.name)
            )
            for name, noun in nouns.items()
        }

    def page(self, page: Page) -> Page:
        """All else of the page; its sentences are written already."""
        speaker, yields = self.speaker, self.balance.formula.yields
        piece = speaker.piece(yields.piece, page.base) if yields else Noun("")
        oven = (step.at or step.to for step in self.balance.formula.method if step.bakes)
        return page._replace(
            title=speaker.free(page.title),
            kind=speaker.free(page.kind),
            headnote=speaker.free(page.headnote),
            piece=piece.several if piece.several and page.pieces != 1 else piece.name,
            base=speaker.part(page.base).name,
            hundreds=tuple(all_hundreds(self.balance, self._hundred).items()),
            parts=tuple(
                self._part(part, weighed.lines)
                for part, weighed in zip(page.parts, self.balance.parts, strict=True)
            ),
            total=tuple(self._total_line(line) for line in page.total),
            oven=tuple(dict.fromkeys(speaker.heat(reading) for reading in oven if reading)),
            kitchen_notes=tuple(map(self._kitchen_note, page.kitchen_notes)),
            declared_allergens=tuple(map(self._declared, page.declared_allergens)),
            allergens=self._allergens(page.allergens),
            cautions=self._cautions(page.cautions),
            variations=tuple(map(speaker.free, page.variations)),
            story=page.story and self._story(page.story),
            photos=tuple(
                photo._replace(caption=speaker.free(photo.caption), alt=speaker.free(photo.alt))
                for photo in page.photos
            ),
        )

    def _part(self, part: PagePart, weighed: Iterable[Weighed]) -> PagePart:
        lines = tuple(map(self._line, part.lines, weighed))
        name, notes = self.speaker.part(part.name).name, self.speaker.free(part.notes)
        return part._replace(name=name, notes=notes, lines=lines)

    def _line(self, line: PageLine, weighed: Weighed) -> PageLine:
        if line.is_part:
            name = self.speaker.part(line.name).name
            return line._replace(name=name, main_name=name, remark=self._remark(weighed))
        noun, of_name = self.foods[fold(line.name)]
        measure, is_several = self._measure(line.measure, noun)
        return line._replace(
            name=noun.several if is_several and noun.several else noun.name,
            main_name=noun.several or noun.name,
            measure=measure,
            remark=", ".join(filter(None, (of_name, self._remark(weighed)))),
        )

    def _remark(self, weighed: Weighed) -> str:
        line = weighed.line
        said = (self.speaker.state(line.state), self.speaker.remark(line.note))
        return ", ".join(filter(None, said))

    def _measure(self, said: str, noun: Noun) -> tuple[str, bool]:
        """``2 large`` as ``2 große``, and whether it counts several."""
        if found := _SIZED.search(said):
            how = self.speaker.language.states[found[2]]
            is_one = bool(_ONE.fullmatch(found[1]))
            sized = f"{found[1]} {self.grammar.sized(how, noun.gender, is_one)}"
            return said[: found.start()] + sized + said[found.end() :], not is_one
        is_counted = bool(said) and not any(sign.isalpha() for sign in said)
        return said, is_counted and not _ONE.fullmatch(said)

    def _total_line(self, line: PageLine) -> PageLine:
        noun = self.speaker.food(line.name, self.catalogue)[0]
        return line._replace(name=noun.name, main_name=noun.several or noun.name)

    def _hundred(self, of: Hundred, in_all: bool) -> str:
        food = of.what and self.catalogue.find(of.what)
        known = self.speaker.language.parts.get(fold(of.what))
        what = known or (self.speaker.food(of.what, self.catalogue)[0] if food else Noun(of.what))
        return self.grammar.hundred(of, what, self.speaker.part(of.part), in_all)

    def _kitchen_note(self, note: KitchenNote) -> KitchenNote:
        figures = self.speaker.language.figures
        readings = tuple((name, figures(value)) for name, value in note.readings)
        return KitchenNote(self.speaker.free(note.text), readings)

    def _story(self, story: Story) -> Story:
        free = self.speaker.free
        turns = (Turn(t.version, free(t.text), free(t.because)) for t in story.turns)
        return Story(story.versions, story.bakes, tuple(turns))

    def _allergens(self, found: Allergens) -> Allergens:
        known, names = texts(), self.speaker.language.allergens
        return found._replace(
            us=self._brought(found.us, known.us, names["us"]),
            eu=self._brought(found.eu, known.eu, names["eu"]),
            not_known=tuple(map(self._named, found.not_known)),
            cautions=self._cautions(found.cautions),
        )

    def _brought(
        self, brought: Iterable[Brought], law: Iterable[AllergenName], names: Mapping[str, str]
    ) -> tuple[Brought, ...]:
        said = {name.name: names[name.id] for name in law}
        return tuple(
            Brought(
                said.get(b.allergen) or self._declared(b.allergen),
                tuple(dict.fromkeys(map(self._named, b.by))),
            )
            for b in brought
        )

    def _declared(self, word: str) -> str:
        """What the kitchen itself calls an allergen, by either list; a word of neither as it is written."""
        known, names = texts(), self.speaker.language.allergens
        for law, said in ((known.eu, names["eu"]), (known.us, names["us"])):
            for name in law:
                if fold(word) in (name.id, name.name):
                    return said[name.id]
        return self.speaker.free(word)

    def _named(self, name: str) -> str:
        return (self.in_text.get(fold(name)) or self.speaker.part(name)).name

    def _cautions(self, cautions: Iterable[Caution]) -> tuple[Caution, ...]:
        said = self.speaker.language.cautions
        return tuple(caution._replace(text=said[caution.id], short="") for caution in cautions)


def _in_one(name: str) -> str:
    """The whole name as it stands in a sentence: ``Weizenmehl (kleberstark; etwa Type 550)``."""
    found = _BEHIND.fullmatch(name)
    if not found:
        return name
    behind = "; ".join(filter(None, (found["sort"], found["more"])))
    return f"{found['head']} ({behind})" if behind else name

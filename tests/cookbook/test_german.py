"""Steps as German sentences, in the manner of German recipes: what is used first, the verb last. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from perflour.balance.balance import Hundred
from perflour.cookbook.translated.german import (
    ACCUSATIVE,
    DATIVE,
    bare,
    hundred,
    in_the,
    noun_first,
    of_the,
    one,
    sized,
    the,
    the_rest_of,
)
from perflour.cookbook.translated.speaker import Speaker
from perflour.cookbook.translated.translator import Translator
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.language import Noun, language
from tests.conftest import formula_text, weigh_text

SUGAR, BUTTER, FLOUR, NUTS, PAN = (
    Noun("brauner Zucker", "m"), Noun("geschmolzene Butter", "f"), Noun("griffiges Mehl", "n"),
    Noun("gehackte Walnüsse", "p"), Noun("runde Form", "f"),
)  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), [
    (bare(SUGAR, ACCUSATIVE), "braunen Zucker"),
    (bare(SUGAR, DATIVE), "braunem Zucker"),
    (bare(BUTTER, ACCUSATIVE), "geschmolzene Butter"),
    (bare(BUTTER, DATIVE), "geschmolzener Butter"),
    (bare(FLOUR, DATIVE), "griffigem Mehl"),
    (bare(NUTS, ACCUSATIVE), "gehackte Walnüsse"),
    (bare(NUTS, DATIVE), "gehackten Walnüssen"),
    (bare(Noun("Streusel", "p"), DATIVE), "Streuseln"),
    (bare(Noun("Muffins", "p"), DATIVE), "Muffins"),
    (bare(Noun("prune paste"), DATIVE), "prune paste"),
    (of_the(SUGAR), "vom braunen Zucker"),
    (of_the(BUTTER), "der geschmolzenen Butter"),
    (of_the(NUTS), "der gehackten Walnüsse"),
    (of_the(Noun("prune paste")), "von prune paste"),
    (in_the(FLOUR), "im griffigen Mehl"),
    (in_the(NUTS), "in den gehackten Walnüssen"),
    (the_rest_of(SUGAR), "restlichen braunen Zucker"),
    (the_rest_of(NUTS), "restliche gehackte Walnüsse"),
    (the_rest_of(Noun("shelf mix")), "den Rest shelf mix"),
    (one(PAN, ACCUSATIVE), "eine runde Form"),
    (one(PAN, DATIVE, "leicht gefettet"), "einer leicht gefetteten runden Form"),
    (one(Noun("Blech", "n"), ACCUSATIVE, "mit Papier ausgelegt"), "ein mit Papier ausgelegtes Blech"),
    (one(Noun("Bleche", "p"), DATIVE, "gefettet"), "gefetteten Blechen"),
    (the(Noun("Korb", "m"), ACCUSATIVE), "den Korb"),
    (the(Noun("Körbe", "p"), ACCUSATIVE, "2", "bemehlt"), "die 2 bemehlten Körbe"),
    (sized("groß", "n", is_one=True), "großes"),
    (sized("groß", "m", is_one=True), "großer"),
    (sized("groß", "n", is_one=False), "große"),
    (noun_first("brauner Zucker, hell (Farinzucker)"), "Zucker, brauner, hell (Farinzucker)"),
    (noun_first("gemahlene Mandeln mit Haut"), "Mandeln mit Haut, gemahlene"),
    (noun_first("Butter, ungesalzen"), "Butter, ungesalzen"),
    (hundred(Hundred("dough", "flour", own=True), Noun("Mehl", "n"), Noun("Teig", "m"), False), "eigenes Mehl im Teig"),
    (hundred(Hundred("dough", "flour", whole=False), Noun("Mehl", "n"), Noun("Teig", "m"), True), "Mehl im Teig insgesamt (nicht alles)"),
])  # fmt: skip
def test_cases_and_articles(said: str, expected: str) -> None:
    assert said == expected


LINES = (
    "{item: bread flour, amount: 1 kg}", "{item: egg, amount: 3 large}", "{item: butter, amount: 100 g}",
    "{item: dark brown sugar, amount: 100 g}", "{item: whole milk, amount: 100 g}",
)  # fmt: skip


def told(
    method: str, *lines: str, base: str = "batter", extra: str = "", own: Mapping[str, str] = {}
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The sentences of a method, and what there was no word for."""
    balance = weigh_text(formula_text(*(lines or LINES), method=f"[{method}]", extra=extra))
    speaker = Speaker(language("de"), own)
    sentences = Translator(balance, built_in(), speaker).sentences(balance.formula, True, base)
    return sentences, speaker.remarks


@pytest.mark.parametrize(("step", "expected"), [
    ("{do: preheat, to: 350 °F}", "Den Backofen auf 175 °C (350 °F) vorheizen."),
    ("{do: preheat, to: 175C}", "Den Backofen auf 175 °C vorheizen."),
    ("{do: preheat, with: baking stone, to: 350 °F (175 °C)}", "Den Backofen mit einem Backstein darin auf 175 °C (350 °F) vorheizen."),
    ("{do: line, into: 1 loaf pan 23 x 13 cm}", "Eine Kastenform (23 x 13 cm) auslegen."),
    ("{do: grease, uses: [butter], into: 2 round tins}", "2 runde Formen mit Butter einfetten."),
    ("{do: cream, uses: [butter, dark brown sugar], with: paddle, speed: medium, for: 2-3 min}", "Butter und braunen Zucker mit dem Flachrührer auf mittlerer Stufe 2-3 min cremig rühren."),
    ("{do: mix, uses: [whole milk], speed: '2'}", "Vollmilch auf Stufe 2 mischen."),
    ("{do: drain, uses: [whole milk], with: sieve}", "Vollmilch durch ein Sieb abtropfen lassen."),
    ("{do: brush, uses: [whole milk], with: brush}", "Mit Vollmilch mit einem Pinsel bestreichen."),
    ("{do: top, uses: [butter, egg]}", "Mit Butter und Eiern belegen."),
    ("{do: deposit, into: greased 8.5 inch loaf tin, fill: 2/3}", "In eine gefettete Kastenform (8,5 Zoll) einfüllen, 2/3 hoch."),
    ("{do: deposit, into: 2 greased and floured tins 12 x 7 1/2 x 2 in}", "In 2 gefettete und bemehlte Formen (12 x 7 1/2 x 2 Zoll) einfüllen."),
    ("{do: cut, with: 6 cm cutter, on: paper-lined sheet pans}", "Mit dem Ausstecher (6 cm) auf mit Papier ausgelegte Backbleche ausstechen."),
    ("{do: bake, at: 175 °C (350 °F), for: 50 min, core: 97.5 °C}", "Bei 175 °C (350 °F) 50 min backen, Kerntemperatur 97,5 °C."),
    ("{do: cool, on: wire rack, for: about 1 hour}", "Auf einem Kuchengitter etwa 1 h auskühlen lassen."),
    ("{do: chill, for: overnight}", "Über Nacht kalt stellen."),
    ("{do: add, uses: [rest of the whole milk, half the butter]}", "Restliche Vollmilch und die Hälfte der Butter zugeben."),
    ("{do: add, uses: [1/3 of dark brown sugar, 60 g of whole milk]}", "1/3 vom braunen Zucker und 60 g der Vollmilch zugeben."),
    ("{do: add, uses: [2 of egg]}", "2 der Eier zugeben."),
    ("{do: add, uses: [egg], note: one at a time}", "Eier einzeln nacheinander zugeben."),
    ("{do: whisk, uses: [egg], until: pale and thick, note: with patience}", "Eier verquirlen, bis pale and thick. With patience."),
    ("{do: soak, uses: [bread flour, whole milk], makes: oat soaker}", "Weizenmehl und Vollmilch einweichen. Ergibt: oat soaker."),
    ("{do: rub in, uses: [bread flour, butter]}", "Weizenmehl und Butter verreiben."),
])  # fmt: skip
def test_a_step_reads_as_a_german_sentence(step: str, expected: str) -> None:
    assert told(step) == ((expected,), ())


def test_what_was_mixed_and_shaped_is_what_is_meant() -> None:
    sentences, _ = told(
        "{do: mix, uses: [bread flour, whole milk]}, {do: fold, uses: [butter]}, {do: rest, for: 30 min}, "
        "{do: divide}, {do: shape, into: 2 floured baskets}, {do: slash}, {do: bake, at: 230 °C}",
        base="dough",
        extra="yield: {pieces: 2, piece: loaf}\n",
    )
    assert sentences == (
        "Weizenmehl und Vollmilch mischen.",
        "Butter unterheben.",
        "Den Teig 30 min ruhen lassen.",
        "Den Teig teilen.",
        "Die Laibe formen und in 2 bemehlte Gärkörbe legen.",
        "Die Laibe einschneiden.",
        "Die Laibe bei 230 °C backen.",
    )


def test_foods_are_told_apart_where_their_short_names_are_the_same() -> None:
    lines = ("{item: bread flour, amount: 1 kg}", "{item: all-purpose flour, amount: 1 kg}", "{item: butter, amount: 1 g}")  # fmt: skip
    (said,), _ = told("{do: whisk, uses: [bread flour, all-purpose flour, butter]}", *lines)
    assert said == "Weizenmehl (kleberstark; etwa Type 550), Weizenmehl (Allzweck; etwa Type 550) und Butter verquirlen."  # fmt: skip


@pytest.mark.parametrize(("state", "expected"), [
    ("cold, cubed", "kalt, in Würfeln"),
    ("soft and pale", "weich, pale"),
    ("68 °F", "20 °C (68 °F)"),
])  # fmt: skip
def test_states_are_said_one_by_one(state: str, expected: str) -> None:
    assert Speaker(language("de")).state(state) == expected


def test_what_has_no_word_stays_and_is_told_once() -> None:
    lines = ("{item: shelf mix, amount: 1 kg}", "{item: water, amount: 1 g}")
    step = "{do: frobnicate, uses: [shelf mix, water], with: oar, into: canoe, for: a while}"
    sentences, remarks = told(f"{step}, {step}", *lines)
    assert set(sentences) == {"Shelf mix und Wasser oar in canoe a while frobnicate."}
    assert [remark.split(", which")[0] for remark in remarks] == [
        f"German has no word here for the {kind}"
        for kind in ("food 'shelf mix'", "tool 'oar'", "vessel 'canoe'", "time 'a while'", "verb 'frobnicate'")
    ]  # fmt: skip


def test_a_kitchen_gives_its_own_words() -> None:
    own = {"shelf mix": "weicher Vollmilchzucker", "smooth": "alles glatt ist", "frobnicate": "schwenken", "with  patience": "Mit Geduld"}  # fmt: skip
    lines = ("{item: shelf mix, amount: 1 kg}", "{item: caster sugar, amount: 1 g}")
    step = "{do: frobnicate, uses: [shelf mix], until: smooth, note: with patience}"
    assert told(step, *lines, own=own) == (
        ("Weichen Vollmilchzucker schwenken, bis alles glatt ist. Mit Geduld.",),
        (),
    )

"""A page as schema.org Recipe in JSON-LD, by our own reading of the open standard.

Properties and their types were read in schema-dts 2.1.0, typings generated from schema.org.

Nothing is claimed that the formula does not say: no nutrition (figures are of the batch before the
oven), no diet, no picture, no date.
"""

from __future__ import annotations

import json
from typing import Any

from perflour.cookbook.book import Cookbook
from perflour.cookbook.english import listed, sentence
from perflour.cookbook.page import Page, PageLine, PagePart
from perflour.plain import json_safe
from perflour.report.cookbook.printed.page import GRAMS, HOUSEHOLD, amounts_of, yield_words
from perflour.report.cookbook.printed.words import Words, book_words
from perflour.report.form.signs import typeset


def recipe_markup(page: Page, book: Cookbook) -> str:
    """The JSON-LD of one page, safe inside a script element."""
    text = json_safe(json.dumps(recipe_data(page, book), ensure_ascii=False, indent=1))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def recipe_data(page: Page, book: Cookbook) -> dict[str, Any]:
    """The properties of one Recipe; those that are empty are left out."""
    data = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": typeset(page.title),
        "description": _description(page, book_words(book.settled.language)),
        "author": {"@type": "Organization", "name": book.house} if book.house else None,
        "isPartOf": {"@type": "Book", "name": typeset(book.title)},
        "citation": typeset(page.citation),
        "inLanguage": book.settled.language,
        "recipeCategory": typeset(page.kind),
        "recipeYield": yield_words(page, book_words(book.settled.language)),
        "cookTime": page.oven_time and iso_duration(page.oven_time.high),
        "totalTime": page.timed and iso_duration(page.timed.high),
        "recipeIngredient": [
            ingredient_words(line, part, page, book)
            for part in page.parts
            for line in part.lines
            if not line.is_part
        ],
        "recipeInstructions": [
            {"@type": "HowToStep", "position": number, "text": typeset(step)}
            for number, step in enumerate(page.steps, 1)
        ],
    }
    return {key: value for key, value in data.items() if value}


def iso_duration(minutes: float) -> str:
    """Minutes as an ISO 8601 duration: ``PT45M``, ``PT1H30M``, ``P1DT2H``, ``PT30S``."""
    seconds = round(minutes * 60)
    days, rest = divmod(seconds, 86400)
    parts = ((rest // 3600, "H"), (rest // 60 % 60, "M"), (rest % 60, "S"))
    time = "".join(f"{number}{unit}" for number, unit in parts if number)
    day = f"{days}D" if days else ""
    return f"P{day}T{time}" if time else f"P{day or 'T0M'}"


def ingredient_words(line: PageLine, part: PagePart, page: Page, book: Cookbook) -> str:
    """``339 g (1½ cups) unsalted butter, soft``; the part is named where there are several."""
    words, amounts = book_words(book.settled.language), book.settled.amounts
    weight, measure = amounts_of(line, page, words)
    said = weight or measure
    if weight and measure:
        said = {GRAMS: weight, HOUSEHOLD: measure}.get(amounts, f"{weight} ({measure})")
    named = f"{said} {line.name}{f', {line.remark}' if line.remark else ''}"
    where = words.say("recipe-part", part=part.name)
    return typeset(f"{named} {where}" if len(page.parts) > 1 else named)


def _description(page: Page, words: Words) -> str:
    """The headnote, then what must be said of allergens and raw things wherever the text goes."""
    us = [brought.allergen for brought in page.allergens.us]
    eu = [brought.allergen for brought in page.allergens.eu]
    contains = [
        words.say("recipe-contains", found=listed(found, words["and"]), place=words[place])
        for found, place in ((us, "place-us"), (eu, "place-eu"))
        if found
    ]
    if page.allergens.not_known:
        unknown = listed(page.allergens.not_known, words["and"])
        contains.append(words.say("recipe-unknown", names=unknown))
    said = (page.headnote, *contains, *(caution.text for caution in page.cautions))
    return typeset(" ".join(map(sentence, said)).strip())

"""The yield of a recipe that has no line for it: behind its title, or in a sentence of its method."""

from __future__ import annotations

from perflour.recipe.method.sentences import sentences
from perflour.recipe.recipe_text import RecipeText, TextLine
from perflour.recipe.yields import yield_in, yield_of


def with_yield_of_title(recipe: RecipeText) -> RecipeText:
    """A recipe whose title tells the yield behind its name: "Apple cake (makes 12)"."""
    found = yield_of(recipe.title)
    at = recipe.title.find(found.said) if found else 0
    if found is None or at <= 0 or recipe.title_place is None or found.others[1:]:
        return recipe
    place = recipe.title_place._replace(column=recipe.title_place.column + at)
    title = recipe.title[:at].strip(" -–—|,;(")
    return recipe._replace(title=title, yields=TextLine(found.said.rstrip(")"), place))


def with_yield_told(recipe: RecipeText) -> RecipeText:
    """A recipe with the yield that a sentence of its method tells: "cut into 24 squares"."""
    if recipe.yields:
        return recipe
    for told_in in recipe.method:
        for offset, sentence in sentences(told_in.text):
            if said := yield_in(sentence):
                return recipe._replace(yields=TextLine(said, told_in.place(offset)))
    return recipe

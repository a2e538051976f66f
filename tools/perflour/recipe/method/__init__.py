"""The method of a recipe, as people tell it, to steps: sentences, verbs, what a step takes, its heat and times."""

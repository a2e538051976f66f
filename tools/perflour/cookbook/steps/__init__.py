"""The steps of a method as sentences in English, and what they tell in any language."""

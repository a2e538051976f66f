"""The steps of a method as sentences, one writer a language."""

"""Names as they are compared."""

from collections.abc import Iterator
from functools import lru_cache


# Owner: the process; names alone. Bound: 8192. Pays: a formula asks 150 times for the same dozen names.
@lru_cache(maxsize=8192)
def fold(name: str) -> str:
    """A name as it is compared: lower case, single spaces."""
    return " ".join(name.lower().split())


# Owner: the process; names alone. Bound: 8192. Pays: a method is asked for every word of it several times.
@lru_cache(maxsize=8192)
def normal_name(name: str) -> str:
    """A name as the index holds it: lower case, no hyphens or apostrophes, single spaces."""
    plain = name.lower().replace("-", " ").replace("'", "").replace("’", "")
    return " ".join(plain.split())


def spellings_of(name: str) -> Iterator[str]:
    """The name as it is, then with its last and then its first word turned to the singular."""
    plain = normal_name(name)
    yield plain
    first, _, rest = plain.partition(" ")
    head, _, last = plain.rpartition(" ")
    for singular in _singulars(last):
        yield f"{head} {singular}".strip()
    if rest:
        for singular in _singulars(first):
            yield f"{singular} {rest}"
    if not plain.endswith("s"):
        yield f"{plain}s"


def _singulars(word: str) -> Iterator[str]:
    if word.endswith("ies"):
        yield f"{word[:-3]}y"
    if word.endswith("es"):
        yield word[:-2]
    if word.endswith("s") and not word.endswith("ss"):
        yield word[:-1]

"""The texts that go with the contents of a formula, each with its source, from data/cautions.yaml."""

from typing import NamedTuple

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped

TEXTS = "cautions.yaml"


class Caution(NamedTuple):
    """A text to be printed where ``when`` is true of a formula.

    ``short`` is what a log says of it, where the first sentence does not stand alone.
    """

    id: str
    when: str
    text: str
    source: str
    short: str = ""

    @property
    def in_short(self) -> str:
        """One sentence; what it is cut from is printed whole beside every formula."""
        return self.short or f"{self.text.partition('. ')[0].rstrip('.')}."


class AllergenName(NamedTuple):
    """One allergen of a law's list: the catalogue's word for it, and its name in print."""

    id: str
    name: str


class Texts(NamedTuple):
    """The two lists of allergens, and every caution in the order it is printed."""

    us: tuple[AllergenName, ...]
    eu: tuple[AllergenName, ...]
    cautions: tuple[Caution, ...]
    us_source: str
    eu_source: str

    def that_hold(self, situations: frozenset[str]) -> tuple[Caution, ...]:
        """The cautions whose ``when`` is among the situations."""
        return tuple(caution for caution in self.cautions if caution.when in situations)


def texts() -> Texts:
    """The texts of the file."""
    return shipped(TEXTS, _texts)


def _texts(content: bytes) -> Texts:
    data = read_document(content, TEXTS).data
    return Texts(
        us=tuple(AllergenName(**entry) for entry in data["allergens"]["us"]["list"]),
        eu=tuple(AllergenName(**entry) for entry in data["allergens"]["eu"]["list"]),
        cautions=tuple(Caution(**entry) for entry in data["cautions"]),
        us_source=data["allergens"]["us"]["source"],
        eu_source=data["allergens"]["eu"]["source"],
    )

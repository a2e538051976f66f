"""The texts that go with the contents of a formula, each with its source, from data/cautions.yaml."""

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped
from perflour.tuples import NamedTuple

TEXTS = "cautions.yaml"
#: When a caution is said, by its ``when``, in words.
SITUATIONS = {
    "allergens": "with every list of allergens",
    "not-known": "where the allergens of an ingredient are not known",
    "gluten-claim-broken": "where a formula calls itself gluten-free and is not",
    "gluten-free": "where a formula calls itself gluten-free",
    "cereal-not-us": "with rye, barley or oats",
    "tree-nut": "with tree nuts",
    "pine-nut": "with pine nuts",
    "coconut": "with coconut",
    "chestnut": "with chestnuts",
    "sulphites": "with what may bring sulphites",
    "soybean-oil": "with soybean oil",
    "flour": "with flour",
    "egg": "with egg",
    "honey": "with honey",
    "composition": "with figures of composition",
    "acids": "with figures of leavening",
    "soda-left": "where soda is left over",
    "hot-sugar": "where a step cooks sugar to 110 °C or more",
    "cooked-filling": "where a step cooks a filling of egg or dairy",
    "core": "where a step names a temperature in the middle",
    "food-code": "with every formula that is handed on",
    "tasting": "to the server of a tasting",
    "tasting-sheet": "on every taster's sheet",
    "plan": "with every plan of a day",
    "chilled-holding": "where a plan lets something wait in the cold",
    "cooling": "where a plan lets something cool",
}


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

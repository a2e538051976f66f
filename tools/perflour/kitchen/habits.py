"""How kitchens fill a cup with flour."""

from perflour.tuples import NamedTuple


class CupHabit(NamedTuple):
    """How one kitchen fills a cup with flour, against the catalogue's mean cup."""

    factor: float
    spread_percent: float
    source: str


# A kitchen with one habit is off its own mean by about 4 %: common practice, no source.
CUP_HABITS = {
    "spooned": CupHabit(
        113.4 / 125,
        4.0,
        "spooned and levelled: 113 g a cup on US Armed Forces cards and in early charts, against 125 g in USDA SR28, NDB 20081",
    ),
    "dipped": CupHabit(
        137 / 125,
        4.0,
        "dipped and swept: USDA SR28 has 137 g for cake flour 'unsifted, dipped' (NDB 20084), against 125 g, NDB 20081",
    ),
}

"""The kitchen's units: name, kind and factor, as pint has them (data/units.json)."""

import json
from functools import lru_cache

from perflour.documents.shipped import shipped
from perflour.tuples import NamedTuple


class Unit(NamedTuple):
    """A unit as we spell it.

    ``kind`` is mass, volume, pinch, count, container, time, temperature or length; ``factor``
    turns one unit into g, mL, s or mm (1 for counts).
    """

    name: str
    kind: str
    factor: float


#: What is measured and is no amount of an ingredient.
_NO_AMOUNT = ("time", "temperature", "length")


def _spellings() -> dict[str, Unit]:
    return shipped("units.json", _table)


def _table(content: bytes) -> dict[str, Unit]:
    data = json.loads(content)
    table: dict[str, Unit] = {}
    for name, entry in data.items():
        unit = Unit(name, entry["kind"], entry["factor"])
        for spelling in (name, *entry["spellings"]):
            table[spelling] = unit
            if len(spelling) > 1:  # a lone c or f is no temperature scale
                table.setdefault(spelling.lower(), unit)
    return table


# Owner: the process. Bound: 2,048 words. Pays: every word of running text is asked whether it is a unit:
# docs/performance.md.
@lru_cache(maxsize=2048)
def find_unit(word: str) -> Unit | None:
    """The unit spelled ``word`` (case matters only where two units differ by it), or None."""
    table = _spellings()
    word = " ".join(word.split()).rstrip(".")
    found = table.get(word) or table.get(word.lower())
    if found is None and "." in word:  # fl. oz, imp. pint
        found = find_unit(word.replace(".", " ").replace("  ", " "))
    return found


def unit_named(name: str) -> Unit:
    """The unit of a known name. Raises KeyError for an unknown one."""
    return _spellings()[name]


def spellings() -> list[str]:
    """Every spelling that is understood, for suggestions."""
    return list(_spellings())


def usual_units() -> list[tuple[str, str]]:
    """The name and the kind of every unit that an amount may have."""
    units = dict.fromkeys(_spellings().values())
    return [(unit.name, unit.kind) for unit in units if unit.kind not in _NO_AMOUNT]


def fahrenheit(celsius: float) -> float:
    """°C to °F; NIST Special Publication 811 (from memory): F = C x 9/5 + 32."""
    return celsius * 9 / 5 + 32


def celsius(fahrenheit_value: float) -> float:
    """°F to °C; NIST Special Publication 811 (from memory): C = (F - 32) x 5/9."""
    return (fahrenheit_value - 32) * 5 / 9

"""The baker's percentages of the three files of a merge: of lines, of parts, of what a step takes."""

from collections.abc import Mapping, Sequence
from typing import Any

from perflour.balance.balance import Balance
from perflour.balance.parts import PartBalance, Weighed
from perflour.balance.ratios import is_fine
from perflour.formula.portions import taken
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.figures import percent
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import ALL, HALF, Amount, Share
from perflour.kitchen.weighing import Mass, weigh
from perflour.tuples import NamedTuple

SIDES = ("before", "ours", "theirs")


class Place(NamedTuple):
    """Where a line stands: in the base (0), ours (1) or theirs (2), in which part, as which line."""

    side: int
    part: str
    at: int


class Ratios(NamedTuple):
    """What is 100 %, the flour of the base; what the three files weigh; percentages by name, by side.

    All are of that one basis, lines of a topping too: what moved between parts is told in one figure.
    """

    basis: str
    weighed: Sequence[Balance | None]
    parts: tuple[Mapping[str, float], ...]
    items: tuple[Mapping[str, float], ...]
    basis_g: tuple[float, ...]
    written: Mapping[str, str]
    catalogue: Catalogue

    def of_line(self, place: Place) -> str:
        """The percentage of a line, as text; empty where it is not known."""
        balance = self.weighed[place.side]
        if balance is None or balance.basis_g <= 0:
            return ""
        part = next((part for part in balance.parts if fold(part.part.name) == place.part), None)
        line = part.lines[place.at] if part and place.at < len(part.lines) else None
        return _share(line, part, balance) if part and line and line.mass else ""

    def of_part(self, side: int, name: str) -> str:
        """The mass of a part in percent of the basis, as text; empty where it is not known."""
        share = self.parts[side].get(fold(name))
        return "" if share is None else f"{percent(share)} %"

    def of_item(self, side: int, name: str) -> str:
        """An ingredient by its main name, of all parts together, as text; empty where it is not there."""
        share = self.items[side].get(fold(name))
        return "" if share is None else f"{percent(share, is_fine(self.catalogue.find(name)))} %"

    def called(self, name: str) -> str:
        """An ingredient by its main name, as it is written where it stands first."""
        return self.written.get(fold(name), name)

    def of_step(self, side: int, step: Mapping[str, Any] | None) -> str:
        """All that a step takes in percent of the basis, as text; empty where that is not known."""
        shares = [self._taken(side, said) for said in (step or {}).get("uses", ())]
        known = [share for share in shares if share is not None]
        return f"{percent(sum(known))} %" if known and len(known) == len(shares) else ""

    def _taken(self, side: int, said: str) -> float | None:
        """One word of `uses`; None for a rest, and for what nobody can weigh."""
        use = taken(said)
        known = self.catalogue.find(use.name)
        whole = self.items[side].get(fold(known.name if known else use.name))
        if whole is None:
            whole = self.parts[side].get(fold(use.name))
        if isinstance(use.portion, Amount):
            mass = weigh(use.portion, known, "")
            weighs = isinstance(mass, Mass) and self.basis_g[side] > 0
            return mass.grams / self.basis_g[side] * 100 if weighs else None  # type: ignore[union-attr]
        if isinstance(use.portion, Share) and whole is not None:
            return whole * float(use.portion.fraction)
        if use.takes == HALF and whole is not None:
            return whole / 2
        return whole if use.takes in ("", ALL) else None


def ratios_of(weighed: Sequence[Balance | None], catalogue: Catalogue) -> Ratios:
    """The percentages of base, ours and theirs; the base is None where both added the file."""
    parts, items = ([by_name(balance) for balance in weighed] for by_name in (_parts, _items))
    written: dict[str, str] = {}
    for balance in weighed:
        for line in balance.ingredient_lines if balance else ():
            written.setdefault(fold(line.name), line.line.name)
    basis_g = tuple(balance.basis_g if balance else 0.0 for balance in weighed)
    basis = next(balance.of for balance in weighed[1:] if balance)
    return Ratios(basis, weighed, tuple(parts), tuple(items), basis_g, written, catalogue)


def _share(line: Weighed, part: PartBalance, weighed: Balance) -> str:
    share = line.grams * part.portion / weighed.basis_g * 100
    return f"{percent(share, is_fine(line.ingredient))} %"


def _parts(weighed: Balance | None) -> dict[str, float]:
    if weighed is None or weighed.basis_g <= 0:
        return {}
    return {
        fold(part.part.name): part.mass_g / weighed.basis_g * 100
        for part in weighed.parts
        if part.mass_g
    }


def _items(weighed: Balance | None) -> dict[str, float]:
    if weighed is None or weighed.basis_g <= 0:
        return {}
    return {fold(line.name): line.mass_g / weighed.basis_g * 100 for line in weighed.everything}

"""Formula to Balance: masses, flour basis and baker's percentages, of the base and of what stands beside it."""

from collections.abc import Iterable
from functools import lru_cache

from perflour.balance.parts import (
    PartBalance,
    Weighed,
    alone,
    inner_first,
    portions_of,
    weigh_parts,
    with_basis,
)
from perflour.formula.formula import Formula, Part
from perflour.formula.places import PREFERMENTS, Places, places_of
from perflour.kitchen.catalogue import Catalogue, Ingredient
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple, of_fields

# By one of these words what no catalogue knows may be flour, or hold some.
_FLOURS = frozenset(
    ("flour", "flours", "meal", "semolina", "blend", "starter", "levain", "leaven", "grits")
)


def _sounds_like_flour(name: str) -> bool:
    """Whether a name that no catalogue knows has a word for flour in it, misspelt or grown together too."""
    return any(map(_is_for_flour, fold(name).split()))


# Owner: the process; words alone. Bound: 8192. Pays: each is held against every word for flour, and asked of often.
@lru_cache(maxsize=8192)
def _is_for_flour(word: str) -> bool:
    from difflib import get_close_matches

    return word.endswith(("flour", "meal")) or bool(get_close_matches(word, _FLOURS, 1, cutoff=0.8))


class TotalLine(NamedTuple):
    """One ingredient summed over the parts of the base, or over all, as far as they are used."""

    name: str
    ingredient: Ingredient | None
    mass_g: float
    in_basis: bool
    percent: float | None


class Hundred(NamedTuple):
    """What percentages are of: something of a part. ``own`` where a part in it brings more of it."""

    part: str
    what: str
    own: bool = False
    whole: bool = True

    @property
    def said(self) -> str:
        """`the dough's own flour`."""
        said = whose(self.part, f"own {self.what}" if self.own else self.what)
        return said if self.whole else f"{said}{NOT_WHOLE}"


class Beside(NamedTuple):
    """A part that stands beside the base, with all that goes into it.

    ``basis_g`` is its own 100 %: its flour, or its heaviest ingredient where it has none (``of_flour``
    says which), zero where nothing in it has a mass.
    """

    part: PartBalance
    total: tuple[TotalLine, ...]
    basis_g: float
    of_flour: bool

    @property
    def basis_items(self) -> tuple[str, ...]:
        return tuple(line.name for line in self.total if line.in_basis)

    def of(self, basis: tuple[str, ...] = ()) -> str:
        """What its percentages are of; ``basis`` is the formula's stated one."""
        return self.hundred(basis).said

    def hundred(self, basis: tuple[str, ...] = ()) -> Hundred:
        """The same by its parts."""
        what = basis_word(basis) if self.of_flour else "".join(self.basis_items)
        return Hundred(self.part.part.name, what)


#: Behind the name of a 100 % that some flour may be missing from.
NOT_WHOLE = " (not whole)"


def basis_word(basis: tuple[str, ...]) -> str:
    """What 100 % is called: flour, or the one item that stands for it, or the basis."""
    return "flour" if not basis else basis[0] if len(basis) == 1 else "basis"


def whose(name: str, what: str) -> str:
    """Something of a part: `the batter's flour`; the part itself where nothing is named."""
    named = name.removeprefix("the ")
    if not what:
        return f"the {named}"
    return f"the {named}{chr(39) if named.endswith('s') else chr(39) + 's'} {what}"


class Balance(NamedTuple):
    """A formula weighed.

    ``total``, ``basis_g`` and ``prefermented_g`` are those of the base, which every ratio speaks of;
    ``beside`` holds the parts that stand on it or in it. ``everything`` and ``batch_g`` go over all parts.
    ``lines`` are those of every part, in order of the file. ``unweighed`` holds the lines without a mass:
    totals are too low by them. ``unclear`` are parts of which nobody says where they go. ``loops`` names
    parts that contain themselves; ``overdrawn`` parts of which more is used than is made, with the share.
    """

    formula: Formula
    parts: tuple[PartBalance, ...]
    lines: tuple[Weighed, ...]
    total: tuple[TotalLine, ...]
    everything: tuple[TotalLine, ...]
    beside: tuple[Beside, ...]
    basis_g: float
    prefermented_g: float
    base_g: float
    batch_g: float
    unweighed: tuple[Weighed, ...]
    unclear: tuple[Part, ...]
    loops: tuple[str, ...]
    overdrawn: tuple[tuple[str, float], ...]

    @property
    def unweighed_in_base(self) -> tuple[Weighed, ...]:
        """The lines without a mass that the base is too light by."""
        if not self.unweighed or not self.beside:
            return self.unweighed
        return tuple([w for p in self.parts if p.in_base for w in p.lines if w.mass is None])

    @property
    def base_name(self) -> str:
        """What the base is called: its one part on top; "base" where it has several."""
        tops = [p.part.name for p in self.parts if p.in_base and not p.used_by_parts]
        return tops[0] if len(tops) == 1 else "base"

    @property
    def of(self) -> str:
        """What the base's percentages are of: `the batter's flour`, and that it is not whole where it is not."""
        return self.hundred.said

    @property
    def hundred(self) -> Hundred:
        """The same by its parts."""
        what = basis_word(self.formula.basis)
        return Hundred(self.base_name, what, whole=self.basis_is_whole)

    @property
    def ingredient_lines(self) -> tuple[Weighed, ...]:
        """Every line that is an ingredient, not another part."""
        return tuple(weighed for weighed in self.lines if not weighed.line.is_part)

    @property
    def may_be_flour(self) -> tuple[str, ...]:
        """What is not counted in the base's 100 % though it may belong there: it is not known, or not weighed."""
        if self.formula.basis:
            return tuple([w.name for w in self.unweighed_in_base if w.in_basis])
        unweighed, unknown = [], [line.name for line in self.total if line.ingredient is None]
        if not unknown and not self.unweighed:  # as in most formulas
            return ()
        for w in self.unweighed_in_base:
            if w.in_basis or w.line.is_part:
                unweighed.append(w.name)
            elif w.ingredient is None:
                unknown.append(w.name)
        named = [name for name in unknown if _sounds_like_flour(name)]
        return tuple(dict.fromkeys((*unweighed, *named)))

    @property
    def basis_is_whole(self) -> bool:
        """Whether all that counts, or may count, towards the base's 100 % is in it."""
        return not self.may_be_flour

    def of_part(self, part: PartBalance) -> str:
        """What the percentages of a part's lines are of: `the poolish's flour`.

        `the dough's own flour` where a part in it brings more, which `of` counts too.
        """
        return self.hundred_of(part).said

    def hundred_of(self, part: PartBalance) -> Hundred:
        """The same by its parts."""
        if part.own_basis:
            with_more = self._basis_above(part) > part.basis_g * (1 + 1e-9)
            return Hundred(part.part.name, basis_word(self.formula.basis), own=with_more)
        for one in self.beside:
            if fold(one.part.part.name) == part.beside:
                return one.hundred(self.formula.basis)
        return self.hundred

    def _basis_above(self, part: PartBalance) -> float:
        """The 100 % of what goes by the name of this part, with the parts in it; zero where nothing does."""
        if not part.used_by_parts and part.part.name == self.base_name:
            return self.basis_g
        named = (one.basis_g for one in self.beside if one.part.part.name == part.part.name)
        return next(named, 0.0)

    @property
    def mass_per_piece_g(self) -> float | None:
        yields = self.formula.yields
        return self.batch_g / yields.pieces if yields and self.batch_g else None


def balance(formula: Formula, catalogue: Catalogue) -> Balance:
    """Weigh a formula. Never raises: what cannot be weighed is kept with its reason."""
    if formula.measures or formula.eggs:
        here = catalogue.said
        eggs = formula.eggs or ("" if formula.measures else here.eggs)
        catalogue = catalogue.saying(
            here._replace(measures=formula.measures or here.measures, eggs=eggs)
        )
    return _assembled(formula, *weigh_parts(formula, catalogue))


def rebased(balance: Balance, names: frozenset[str], stated: tuple[str, ...]) -> Balance:
    """The same masses in percent of other ingredients, by folded main names; ``stated`` is what they are called."""
    by_name = {fold(part.part.name): part for part in balance.parts}
    parts = {name: with_basis(by_name[name], names) for name in inner_first(balance.formula)[0]}
    return _assembled(balance.formula._replace(basis=stated), parts, balance.loops)


def replaced(balance: Balance, beside: frozenset[str]) -> Balance:
    """The same with other parts on top beside the base, by folded names; at least one is left as base."""
    by_name = {fold(part.part.name): part for part in balance.parts}
    parts = {name: alone(by_name[name]) for name in inner_first(balance.formula)[0]}
    return _assembled(balance.formula, parts, balance.loops, beside)


def _assembled(
    formula: Formula,
    parts: dict[str, PartBalance],
    loops: tuple[str, ...],
    beside_names: frozenset[str] | None = None,
) -> Balance:
    """What weighed parts, inner ones first, come to together."""
    on_top = frozenset(name for name, part in parts.items() if not part.used_by_parts)
    if beside_names is None:
        places = places_of(formula, on_top)
    else:
        places = Places(on_top - beside_names, on_top & beside_names)
    portions = _placed(parts, places, on_top)
    basis_g = sum(p.basis_g * p.in_base for p in parts.values())
    as_written = dict.fromkeys(fold(part.name) for part in formula.parts)
    written = [parts[name] for name in as_written]
    beside = {name: _beside(parts, name) for name in as_written if name in places.beside}
    in_percent = tuple([_with_percent(part, basis_g, beside) for part in written])
    total = _total([(part, part.in_base) for part in in_percent], basis_g)
    everything = total
    if beside:
        all_g = sum(p.basis_g * p.portion for p in in_percent)
        everything = _total([(part, part.portion) for part in in_percent], all_g)
    named = {fold(part.part.name): part for part in in_percent} if beside else {}
    lines = [weighed for part in in_percent for weighed in part.lines]
    return Balance(
        formula=formula,
        parts=in_percent,
        lines=tuple(lines),
        total=total,
        everything=everything,
        beside=tuple([one._replace(part=named[name]) for name, one in beside.items()]),
        basis_g=basis_g,
        prefermented_g=sum(p.basis_g * p.in_base for p in in_percent if p.part.kind in PREFERMENTS),
        base_g=sum(parts[name].mass_g for name in places.base),
        batch_g=sum(parts[name].mass_g for name in on_top),
        unweighed=tuple([weighed for weighed in lines if weighed.mass is None]),
        unclear=places.unclear,
        loops=loops,
        overdrawn=tuple((parts[n].part.name, p) for n, p in portions.items() if p > 1.001),
    )


def _placed(
    parts: dict[str, PartBalance], places: Places, on_top: frozenset[str]
) -> dict[str, float]:
    """Sets in every part how much of it goes where; gives how much of each ends in the product."""
    portions = portions_of(parts, on_top)
    if not places.beside:
        for name, portion in portions.items():
            if portion < 1.0:
                parts[name] = parts[name]._replace(portion=portion, in_base=portion)
        return portions
    in_base = portions_of(parts, places.base)
    shares = {top: portions_of(parts, frozenset((top,))) for top in places.beside}
    for name, portion in portions.items():
        tops = [top for top in places.beside if shares[top][name]]
        alone = tops[0] if len(tops) == 1 and not in_base[name] else ""
        portion = min(portion, 1.0)
        parts[name] = parts[name]._replace(
            portion=portion, in_base=min(in_base[name], 1.0), beside=alone
        )
    return portions


def _beside(parts: dict[str, PartBalance], top: str) -> Beside:
    """A part beside the base with its own 100 %."""
    shares = portions_of(parts, frozenset((top,)))
    whole = [(part, min(shares[name], 1.0)) for name, part in parts.items() if shares[name]]
    basis_g = sum(part.basis_g * share for part, share in whole)
    if basis_g > 0:
        return Beside(parts[top], _total(whole, basis_g), basis_g, True)
    total = _total(whole, 0.0)
    heaviest = max(total, key=lambda line: line.mass_g, default=None)
    basis_g = heaviest.mass_g if heaviest else 0.0
    return Beside(
        parts[top],
        tuple(
            [
                line._replace(
                    in_basis=line is heaviest,
                    percent=line.mass_g / basis_g * 100 if basis_g else None,
                )
                for line in total
            ]
        ),
        basis_g,
        False,
    )


def _with_percent(part: PartBalance, base_basis_g: float, beside: dict[str, Beside]) -> PartBalance:
    """A part without a basis of its own in percentages of what it ends in, as far as it is used."""
    basis_g = beside[part.beside].basis_g if part.beside else base_basis_g
    if part.own_basis or basis_g <= 0:
        return part
    share = (part.portion if part.beside else part.in_base or part.portion) / basis_g * 100
    lines = tuple(
        [of_fields(Weighed, (*w[:-1], w.mass.grams * share)) if w.mass else w for w in part.lines]
    )
    return part._replace(lines=lines)


def _total(parts: Iterable[tuple[PartBalance, float]], basis_g: float) -> tuple[TotalLine, ...]:
    """The ingredients of parts, of each so much of it, in order of the parts."""
    masses: dict[str, float] = {}
    first: dict[str, Weighed] = {}
    for part, share in parts:
        for weighed in part.lines if share else ():
            if weighed.mass is None or weighed.line.is_part:
                continue
            name = weighed.name
            if name in masses:
                masses[name] += weighed.mass.grams * share
            else:
                masses[name] = weighed.mass.grams * share
                first[name] = weighed
    return tuple(
        [
            of_fields(
                TotalLine,
                (
                    name,
                    weighed.ingredient,
                    mass_g,
                    weighed.in_basis,
                    mass_g / basis_g * 100 if basis_g else None,
                ),
            )
            for (name, mass_g), weighed in zip(masses.items(), first.values(), strict=True)
        ]
    )

"""What a rule is, and what it is given."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from perflour.balance.balance import Balance
from perflour.balance.ratios import Ratio
from perflour.formula.formula import REFERENCE, Formula
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.house import House
from perflour.result import Level, Place
from perflour.tuples import NamedTuple
from perflour.typed import Any, TypeVar

T = TypeVar("T")


class Context(NamedTuple):
    """One formula with everything computed from it; ask ``ratios`` only where there is a basis.

    ``memo`` keeps what several rules ask for.
    """

    path: str
    formula: Formula
    balance: Balance
    ratios: dict[str, Ratio]
    house: House
    catalogue: Catalogue
    memo: dict[Callable[..., Any], Any]

    def once(self, work: "Callable[[Context], T]") -> T:
        """What ``work`` makes of this formula, worked out when the first rule asks for it."""
        memo: dict[Callable[[Context], T], T] = self.memo
        try:
            return memo[work]
        except KeyError:
            made = work(self)
        memo[work] = made
        return made

    @property
    def has_whole_basis(self) -> bool:
        """Whether there is a 100 %, and all that counts towards it is known and weighed."""
        return self.balance.basis_g > 0 and self.once(_basis_is_whole)

    def limits(self, rule: str, usual: Mapping[str, float]) -> Mapping[str, float]:
        """A rule's parameters as this house sets them, the others as usual."""
        set_here = self.house.limits.get(rule)
        return {**usual, **set_here} if set_here else usual


def _basis_is_whole(context: Context) -> bool:
    return context.balance.basis_is_whole


class Finding(NamedTuple):
    """What a rule found, before its level is settled. ``subject`` is what a waiver can name."""

    place: Place
    message: str
    subject: str = ""


class Rule(NamedTuple):
    """Identity, default level, family and source of a rule; ``text`` is its module's docstring.

    ``parameters`` are the usual values of what a house may set under `limits` of house.yaml. A rule
    that is ``house_only`` asks how the house writes its own formulas, and nothing of references.
    """

    id: str
    level: Level
    family: str
    source: str
    text: str
    check: Callable[[Context], Iterator[Finding]]
    parameters: Mapping[str, float] = MappingProxyType({})
    house_only: bool = False

    @property
    def headline(self) -> str:
        return self.text.strip().split("\n", 1)[0]

    def is_asked_of(self, status: str) -> bool:
        """Whether formulas of a status are judged by it."""
        return not (self.house_only and status == REFERENCE)

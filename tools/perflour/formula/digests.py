"""The digest of a revision: what a test bake names to say which one it was baked from."""

from collections.abc import Callable, Iterator, Mapping

from perflour.formula.formula import (
    Formula,
    Line,
    Step,
    Use,
    Yield,
    canonical_amount,
    canonical_use,
    written_alike,
)
from perflour.kitchen.catalogue import Catalogue, built_in
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import OVEN_FROM_CELSIUS, Temperature
from perflour.system.hashing import sha256_hex
from perflour.typed import Any

# A name in one spelling.
Named = Callable[[str], str]


def digest(formula: Formula) -> str:
    """Twelve hex digits that change exactly when ingredients, amounts, steps or yield change.

    What means the same does not count: spelling of numbers, units and names of foods (the built-in
    catalogue's), the other scale of an oven, a part that is named for its only ingredient, the order in which
    a part lists its lines (the method says the order of work), what kind a part is said to be; nor key order,
    comments, title, status, notes, waivers and corrections.
    """
    return Digests().of(formula)


class Digests:
    """The digests of one formula after another of one house, which reads amounts in one way.

    A revision mostly has the method, the yield and most lines of the one before it.
    """

    def __init__(self) -> None:
        self._steps: tuple[Step, ...] = ()  # with what follows, of the last formula
        self._alone: dict[str, str] = {}
        self._made: list[str] = []
        self._lines: dict[tuple[str, bool, str, str], list[str]] = {}
        self._tail = ""

    def of(self, formula: Formula) -> str:
        """The digest of a formula, as ``digest`` says."""
        catalogue = built_in()
        named = catalogue.main_name
        alone = {
            fold(part.name): named(part.lines[0].name)
            for part in formula.parts
            if len(part.lines) == 1 and not part.lines[0].is_part
        }
        made = _yield(formula.yields)
        if not (
            self._tail
            and self._alone == alone
            and self._made == made
            and written_alike(self._steps, formula.method)
        ):
            self._steps, self._alone, self._made = formula.method, alone, made
            self._tail = _tail([_step(step, named, alone) for step in formula.method], made)
        said = _as_text(
            {
                **_measures(formula),
                "basis": sorted(map(named, formula.basis)),
                "parts": [
                    [fold(p.name), sorted([self._line(line, catalogue) for line in p.lines])]
                    for p in formula.parts
                ],
            }
        )
        return _hashed(f"{said[:-1]},{self._tail}")

    def _line(self, line: Line, catalogue: Catalogue) -> list[str]:
        """A line by its food, as one that was written so before."""
        words = line.name, line.is_part, line.amount.text, line.state
        said = self._lines.get(words)
        if said is None:
            said = self._lines[words] = _line_of_food(line, catalogue)
        return said


def earlier_digest(formula: Formula) -> str:
    """The digest as it was reckoned first, so that records that name it are known for what they are."""
    return _hashed(
        _as_text(
            {
                "basis": sorted(map(fold, formula.basis)),
                "parts": [
                    [
                        fold(p.name),
                        p.kind,
                        sorted([_line(line, fold(line.name)) for line in p.lines]),
                    ]
                    for p in formula.parts
                ],
                "method": [_step_said_first(step) for step in formula.method],
                "yield": _yield(formula.yields),
            }
        )
    )


def marks(formula: Formula) -> tuple[str, str]:
    """What records and changelogs may call a revision: its digest, and the one reckoned first.

    Records of old commits, which nobody can renew, name the latter.
    """
    return digest(formula), earlier_digest(formula)


class Called:
    """The same, of which the second is reckoned when somebody asks for it: few records are so old."""

    def __init__(self, formula: Formula, digest: str) -> None:
        self.digest = digest
        self._formula = formula
        self._first = ""

    @property
    def first(self) -> str:
        """The digest as it was reckoned first."""
        self._first = self._first or earlier_digest(self._formula)
        return self._first

    def __iter__(self) -> Iterator[str]:
        yield self.digest
        yield self.first

    def __contains__(self, mark: object) -> bool:
        return mark == self.digest or mark == self.first


def _measures(formula: Formula) -> dict[str, object]:
    """Whose cup and egg it is changes what is weighed."""
    said = [formula.measures, formula.eggs]
    return {"measures": said} if any(said) else {}


def _tail(method: list[Any], made: list[str]) -> str:
    """The end of what is said: the method and the yield."""
    return _as_text({"method": method, "yield": made})[1:]


def _hashed(text: str) -> str:
    return sha256_hex(text.encode())[:12]


def _as_text(said: object) -> str:
    import json

    # what was just made holds no circles, and to look for some takes half as long again
    return json.dumps(said, ensure_ascii=False, separators=(",", ":"), check_circular=False)


def _line_of_food(line: Line, catalogue: Catalogue) -> list[str]:
    """A line by its food; what its name says of the state stands with what the line states."""
    said = catalogue.understood(line.name)
    return _line(line, catalogue.main_name(line.name), said.states if said else ())


def _line(line: Line, name: str, states: tuple[str, ...] = ()) -> list[str]:
    stated = fold(line.state)
    if states:
        stated = ", ".join((*states, stated)) if stated else ", ".join(states)
    return [name, canonical_amount(line.amount), stated]


def _step(step: Step, named: Named, alone: Mapping[str, str]) -> list[object]:
    """A step with its temperatures and times in one spelling; a second scale and notes do not count."""
    said = _said(step)
    for reading in step.temperatures:
        if t := reading.value:
            said[reading.key] = f"{_dial(t, t.low_celsius)}-{_dial(t, t.high_celsius)}"
    uses = [_use(use, alone.get(fold(use.name)) or named(use.name)) for use in step.uses]
    return [fold(step.do), uses, sorted(said.items())]


def _dial(temperature: Temperature, value_celsius: float) -> str:
    """A temperature in °C; an oven in °F as dials in °C show it, to five degrees."""
    if temperature.first_scale != "°C" and value_celsius >= OVEN_FROM_CELSIUS:
        value_celsius = round(value_celsius / 5) * 5
    return f"{value_celsius:.1f}"


def _use(use: Use, name: str) -> str:
    return (
        canonical_use(use).removesuffix(fold(use.name)) + name if use.portion is not None else name
    )


def _step_said_first(step: Step) -> list[object]:
    said = _said(step)
    for reading in step.temperatures:
        if t := reading.value:
            said[reading.key] = f"{t.low_celsius:.1f}-{t.high_celsius:.1f}"
    return [fold(step.do), [canonical_use(use) for use in step.uses], sorted(said.items())]


def _said(step: Step) -> dict[str, Any]:
    said = {key: " ".join(text.split()) for key, text in step.said.items() if key != "note"}
    if step.time and (d := step.time.value):
        said["for"] = f"{d.low_min:.2f}-{d.high_min:.2f} min"
    return said


def _yield(yields: Yield | None) -> list[str]:
    if yields is None:
        return []
    weight = yields.scaling_weight
    return [str(yields.pieces), fold(yields.piece), canonical_amount(weight) if weight else ""]

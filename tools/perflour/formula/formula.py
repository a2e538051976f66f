"""Document to Formula: parts, lines with parsed amounts, steps, yield. Nothing is computed."""

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import repeat

from perflour.documents.reader import Document, Node, child, items_of, key_node, place_of
from perflour.formula import verbs
from perflour.formula.portions import taken
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import (
    USUAL,
    Amount,
    AmountProblem,
    Customs,
    Duration,
    Share,
    Temperature,
    Term,
    parse_amount,
    parse_duration,
    parse_share,
    parse_temperature,
)
from perflour.result import FileProblem, Place
from perflour.tuples import NamedTuple, of_fields
from perflour.typed import Any, Generic, TypeVar

MAX_LINES = 5000
T = TypeVar("T")

#: The status of a formula that the book holds.
APPROVED = "approved"
#: The status of somebody else's formula, kept as it is to compare with. It is none of the house's own.
REFERENCE = "reference"
#: The keys of a step that hold a temperature.
TEMPERATURES = ("to", "at", "core")


class Reading(NamedTuple, Generic[T]):
    """Text with what was read from it: exactly one of ``value`` and ``problem`` is there.

    What stands in a file keeps its file's path and its node, or the node around it with its key,
    here and below: a place is made when a finding needs it.
    """

    text: str
    path: str
    around: Node
    key: str
    value: T | None = None
    problem: AmountProblem | None = None

    @property
    def place(self) -> Place:
        return place_of(self.path, child(self.around, self.key))


class Line(NamedTuple):
    """One ingredient line; ``is_part`` when ``name`` is another part of the formula."""

    name: str
    is_part: bool
    amount: Reading[Amount | Share]
    state: str
    note: str
    path: str
    node: Node

    @property
    def place(self) -> Place:
        return place_of(self.path, child(self.node, "part" if self.is_part else "item"))


class Part(NamedTuple):
    name: str
    kind: str
    lines: tuple[Line, ...]
    path: str
    node: Node
    notes: str = ""

    @property
    def place(self) -> Place:
        return place_of(self.path, child(self.node, "part"))


class Use(NamedTuple):
    """A name in the `uses` of a step without what says how much; ``said`` has it all, the node is the step's.

    ``takes`` is all, half, rest, some or figures, empty for a plain name. ``portion`` is there where
    figures say how much: an amount, or a share of what is listed.
    """

    name: str
    path: str
    step: Node
    number: int
    said: str
    portion: Amount | Share | None = None
    takes: str = ""

    @property
    def place(self) -> Place:
        return place_of(self.path, items_of(child(self.step, "uses"))[self.number])


class Step(NamedTuple):
    """One step. ``said`` holds every text of it as written, by key, `uses` and `do` left out.

    ``temperatures`` are `to`, `at` and `core` as far as they are there.
    """

    do: str
    uses: tuple[Use, ...]
    said: dict[str, str]
    path: str
    node: Node
    temperatures: tuple[Reading[Temperature], ...] = ()
    to: Reading[Temperature] | None = None
    at: Reading[Temperature] | None = None
    core: Reading[Temperature] | None = None
    time: Reading[Duration] | None = None

    @property
    def place(self) -> Place:
        return place_of(self.path, self.node)

    def text(self, key: str) -> str:
        return self.said.get(key, "")

    @property
    def bakes(self) -> bool:
        """Whether the step puts something in the oven: bake, blind bake, par-bake."""
        return verbs.bakes(self.do)

    @property
    def heats_oven(self) -> bool:
        """Whether the step heats an oven: preheat, light the oven, turn the oven on."""
        return verbs.heats_oven(self.do)


class Yield(NamedTuple):
    pieces: int
    piece: str
    scaling_weight: Reading[Amount] | None
    place: Place


class Waiver(NamedTuple):
    rule: str
    item: str
    because: str
    place: Place


class Correction(NamedTuple):
    """A mistake of a page that was printed already; ``item`` is empty where it is about all of it."""

    item: str
    because: str
    place: Place


class Formula(NamedTuple):
    """One formula file, amounts parsed and nothing computed."""

    id: str
    title: str
    product_class: str
    status: str
    origin: str
    citation: str
    notes: str
    allergens: tuple[str, ...]
    basis: tuple[str, ...]
    yields: Yield | None
    parts: tuple[Part, ...]
    method: tuple[Step, ...]
    waivers: tuple[Waiver, ...]
    path: str
    root: Node
    measures: str = ""
    eggs: str = ""
    corrections: tuple[Correction, ...] = ()

    def part(self, name: str) -> Part | None:
        """The part of that name, or None."""
        return next((p for p in self.parts if fold(p.name) == fold(name)), None)

    def place(self, key: str) -> Place:
        """Where a top-level entry stands; the start of the file if it is not there."""
        return place_of(self.path, key_node(self.root, key) or self.root)

    def states(self, key: str) -> bool:
        """Whether the file has that top-level entry."""
        return key_node(self.root, key) is not None


def build_formula(document: Document, customs: Customs = USUAL) -> Formula:
    """The formula in a document that is valid against the schema.

    Amounts are read in the customs of a house. Amounts, times and temperatures that cannot be read stay as Readings with a problem: rules
    report them. Raises FileProblem beyond 5,000 ingredient lines.
    """
    data, path = document.data, document.path
    root = document.root
    count = sum(len(part["ingredients"]) for part in data["parts"])
    if count > MAX_LINES:
        raise FileProblem(
            "over-limit",
            document.place("parts"),
            f"{count:,} ingredient lines, more than {MAX_LINES:,}; split the formula",
        )
    return Formula(
        id=data["formula"],
        title=data["title"],
        product_class=data["class"],
        status=data["status"],
        origin=data.get("origin", "" if data["status"] == REFERENCE else "own"),
        citation=data.get("citation", ""),
        notes=data.get("notes", ""),
        allergens=tuple(data.get("allergens", ())),
        basis=tuple(data.get("basis", ())),
        yields=_yield(document) if "yield" in data else None,
        parts=tuple(
            map(_part, repeat(path), data["parts"], items_of(child(root, "parts")), repeat(customs))
        ),
        method=tuple(
            map(
                _step,
                repeat(document),
                data["method"],
                items_of(child(root, "method")),
                repeat(customs),
            )
        ),
        waivers=tuple(map(_waiver, repeat(path), data["waivers"], items_of(child(root, "waivers"))))
        if "waivers" in data
        else (),
        path=path,
        root=root,
        measures=data.get("measures", ""),
        eggs=data.get("eggs", ""),
        corrections=tuple(
            map(
                _correction,
                repeat(path),
                data["corrections"],
                items_of(child(root, "corrections")),
            )
        )
        if "corrections" in data
        else (),
    )


def _reading(
    path: str, text: str, around: Node, key: str, parse: Callable[..., T], *customs: Customs
) -> Reading[T]:
    try:
        return of_fields(Reading, (text, path, around, key, parse(text, *customs), None))
    except AmountProblem as problem:
        return Reading(text, path, around, key, None, problem)


def _part(path: str, data: dict[str, Any], node: Node, customs: Customs) -> Part:
    inner = items_of(child(node, "ingredients"))
    lines = tuple(map(_line, repeat(path), data["ingredients"], inner, repeat(customs)))
    return Part(data["part"], data.get("kind", ""), lines, path, node, data.get("notes", ""))


def _line(path: str, data: dict[str, Any], node: Node, customs: Customs) -> Line:
    is_part = "part" in data
    parse: Callable[..., Amount | Share] = parse_share if is_part else parse_amount
    name = data["part" if is_part else "item"]
    amount = _reading(path, data["amount"], node, "amount", parse, customs)
    return of_fields(
        Line, (name, is_part, amount, data.get("state", ""), data.get("note", ""), path, node)
    )


def _step(document: Document, data: dict[str, Any], node: Node, customs: Customs) -> Step:
    path = document.path
    said = data.copy()
    del said["do"]
    uses: tuple[Use, ...] = ()
    if "uses" in said:
        uses = tuple(
            [_use(document, name, node, at, customs) for at, name in enumerate(said.pop("uses"))]
        )
    time = _reading(path, said["for"], node, "for", parse_duration) if "for" in said else None
    if said.keys().isdisjoint(TEMPERATURES):
        return of_fields(Step, (data["do"], uses, said, path, node, (), None, None, None, time))
    to, at, core = [
        _reading(path, said[key], node, key, parse_temperature) if key in said else None
        for key in TEMPERATURES
    ]
    there = tuple([reading for reading in (to, at, core) if reading])
    return of_fields(Step, (data["do"], uses, said, path, node, there, to, at, core, time))


def _use(document: Document, said: str, step: Node, number: int, customs: Customs) -> Use:
    """A use with its portion told apart; a listed name that looks like a portion stays whole."""
    use = taken(said, customs)
    if not use.takes or _is_listed(document, said):
        return of_fields(Use, (said, document.path, step, number, said, None, ""))
    return Use(use.name, document.path, step, number, said, use.portion, use.takes)


def _is_listed(document: Document, name: str) -> bool:
    parts, name = document.data["parts"], fold(name)
    listed = [fold(line.get("item", "")) for part in parts for line in part["ingredients"]]
    return name in listed or name in [fold(part["part"]) for part in parts]


def _yield(document: Document) -> Yield:
    data, node = document.data["yield"], child(document.root, "yield")
    key = "scaling-weight"
    weight = _reading(document.path, data[key], node, key, parse_amount) if key in data else None
    return Yield(data["pieces"], data.get("piece", "piece"), weight, document.key_place("yield"))


def _waiver(path: str, data: dict[str, Any], node: Node) -> Waiver:
    return Waiver(data["rule"], data.get("item", ""), data["because"], place_of(path, node))


def _correction(path: str, data: dict[str, Any], node: Node) -> Correction:
    return Correction(data.get("item", ""), data["because"], place_of(path, node))


def written_alike(before: Sequence[Step], after: Sequence[Step]) -> bool:
    """Whether two methods are the same word by word, wherever they stand."""
    if len(before) != len(after):
        return False
    for a, b in zip(before, after, strict=True):
        if a.do != b.do or a.said != b.said:
            return False
        if (a.uses or b.uses) and _uses_said(a) != _uses_said(b):
            return False
    return True


def _uses_said(step: Step) -> list[tuple[object, ...]]:
    return [(use.name, use.said, use.portion) for use in step.uses]


def canonical_use(use: Use) -> str:
    """A use in one spelling: its name, and its portion where figures say it."""
    if use.portion is None:
        return fold(use.name)  # words for a portion do not count
    if isinstance(use.portion, Share):
        return f"{use.portion.fraction} of {fold(use.name)}"
    return f"{_canonical_amount(use.portion)} of {fold(use.name)}"


def canonical_amount(reading: Reading[Any]) -> str:
    """An amount in one spelling: exact fractions and our unit names."""
    value = reading.value
    return fold(reading.text) if value is None else _canonical_amount(value)


# Owner: the process; amounts alone. Bound: 4096. Pays: fractions are slow to write, and digests hold all amounts.
@lru_cache(maxsize=4096)
def _canonical_amount(value: Amount | Share) -> str:
    if isinstance(value, Share):
        return f"share {value.fraction}"
    terms = " + ".join([_canonical_term(term) for term in value.terms])
    for word, term in (("of", value.content), ("drained", value.drained)):
        terms += f" {word} {_canonical_term(term)}" if term else ""
    return terms


def _canonical_term(term: Term) -> str:
    number = str(term.low) if not term.is_range else f"{term.low}-{term.high}"
    return " ".join(filter(None, (number, term.filling, term.unit.name)))

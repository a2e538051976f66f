"""What a change between two revisions of a formula carries: one type for each sort of figure.

Every change has a ``kind`` (a row of ``diff.kinds``), a ``subject`` and an ``importance``: its move in
usual widths of its figure. ``before`` and ``after`` name their unit. ``spread`` is one standard spread of
the move, and ``beyond_spread`` says whether the move is more than the measuring explains, None where
that cannot be said. ``subject_before`` and ``part_before`` are what was there before, where that is
another. ``of`` says what its percentages are of: `the batter's flour`. ``lines_before`` are the lines that a change takes away and ``lines_after`` those it puts there:
together with the factors they lead from one balance to the other.
"""

from collections.abc import Sequence

from perflour.formula.verbs import heats_oven
from perflour.tuples import NamedTuple


class LineSaid(NamedTuple):
    """An ingredient line as it stands on one side, the ``place``-th of its part.

    ``grams`` is None where it has no mass.
    """

    part: str
    place: int
    item: str
    amount: str
    grams: float | None


class PercentShift(NamedTuple):
    """A named figure that moved along, in percent of the basis: a flour's share, water, a line."""

    name: str
    before_percent: float
    after_percent: float


class MassShift(NamedTuple):
    """What a part holds of an ingredient."""

    name: str
    before_g: float
    after_g: float


class Crossing(NamedTuple):
    """A ratio ``enters`` or ``leaves`` the usual range of its class."""

    way: str
    low_percent: float
    high_percent: float


class Degrees(NamedTuple):
    """A temperature of a step; None where one side has none that can be read."""

    before_celsius: float | None
    after_celsius: float | None


class Minutes(NamedTuple):
    """A time of a step; None where one side has none that can be read."""

    before_minutes: float | None
    after_minutes: float | None


class Scaling(NamedTuple):
    """The whole batch, or the ``subject`` as a part on top of it, multiplied by a factor."""

    kind: str
    subject: str
    before_g: float
    after_g: float
    factor: float
    importance: float = 0.0
    subject_before: str = ""
    ratios_unchanged: bool = False


class MassChange(NamedTuple):
    """A mass that says something by itself: of the flour, in a part or in all; of a piece.

    ``moved_g`` of the flour is its move against the scaled batch. Where ``per`` names parts, the mass is
    for 100 g of them.
    """

    kind: str
    subject: str
    part: str
    before_g: float
    after_g: float
    moved_g: float
    spread_g: float
    beyond_spread: bool
    importance: float
    part_before: str = ""
    lines_before: tuple[LineSaid, ...] = ()
    lines_after: tuple[LineSaid, ...] = ()
    subject_before: str = ""
    per: tuple[str, ...] = ()
    of: str = ""


class BlendChange(NamedTuple):
    """The shares of the flours among themselves."""

    kind: str
    shifts: tuple[PercentShift, ...]
    beyond_spread: bool
    importance: float
    lines_before: tuple[LineSaid, ...]
    lines_after: tuple[LineSaid, ...]
    of: str = ""

    @property
    def subject(self) -> str:
        return ""


class LineChange(NamedTuple):
    """What was done to one ingredient, in percent of the basis, in g and as written.

    ``shifts`` is what a substitute brings along, ``by_part`` what each part holds of an ingredient
    shared out. ``fine`` asks for two decimals, ``in_several`` to name the part: the ingredient stands
    in more than one.
    """

    kind: str
    part: str
    subject: str
    before_percent: float | None
    after_percent: float | None
    moved_percent: float | None
    text_before: str
    text_after: str
    before_g: float | None
    after_g: float | None
    fine: bool
    importance: float
    spread_percent: float | None = None
    beyond_spread: bool | None = None
    subject_before: str = ""
    part_before: str = ""
    lines_before: tuple[LineSaid, ...] = ()
    lines_after: tuple[LineSaid, ...] = ()
    shifts: tuple[PercentShift, ...] = ()
    by_part: tuple[MassShift, ...] = ()
    in_several: bool = False
    of: str = ""


class PartChange(NamedTuple):
    """A part that came or went; ``shifts`` has its lines in percent of the basis.

    Of a preferment ``shifts`` has its own figures, and ``rest_unchanged`` says that the base as a whole is as before.
    """

    kind: str
    subject: str
    mass_g: float
    importance: float
    lines_before: tuple[LineSaid, ...]
    lines_after: tuple[LineSaid, ...]
    shifts: tuple[PercentShift, ...]
    of: str = ""
    rest_unchanged: bool = False
    subject_before: str = ""


class RatioChange(NamedTuple):
    """A derived ratio in percent of the basis; ``lacking`` names what it does not count.

    Of kind ``ratio-unknown`` it is not known on a side: what it speaks of has no mass there.
    """

    kind: str
    subject: str
    before_percent: float
    after_percent: float
    moved_percent: float
    spread_percent: float
    beyond_spread: bool
    fine: bool
    importance: float
    lacking_before: str = ""
    lacking_after: str = ""
    crossing: Crossing | None = None
    of: str = ""


class WindowChange(NamedTuple):
    """A ratio as before that another class judges otherwise."""

    kind: str
    subject: str
    percent: float
    fine: bool
    crossing: Crossing
    importance: float = 0.0


class StepChange(NamedTuple):
    """What one field of a step says; with ``figures`` where it is a temperature or a time."""

    kind: str
    verb: str
    field: str
    text_before: str
    text_after: str
    importance: float
    figures: Degrees | Minutes | None = None

    @property
    def subject(self) -> str:
        return f"{self.verb}: {self.field}"

    @property
    def is_of_oven(self) -> bool:
        """Whether it bakes or heats the oven, so that its temperature is the oven's."""
        return self.kind == "bake" or heats_oven(self.verb)


class TextChange(NamedTuple):
    """What has words and no figures: names, states, notes, whole steps, the yield, the header."""

    kind: str
    subject: str
    text_before: str
    text_after: str
    importance: float = 0.0
    part: str = ""
    subject_before: str = ""
    part_before: str = ""
    lines_before: tuple[LineSaid, ...] = ()
    lines_after: tuple[LineSaid, ...] = ()
    in_several: bool = False


Change = (
    Scaling
    | MassChange
    | BlendChange
    | LineChange
    | PartChange
    | RatioChange
    | WindowChange
    | StepChange
    | TextChange
)
# Those that measuring alone may bring about, and those of a figure on both sides; a tuple is asked in half the time.
Measured = (MassChange, BlendChange, LineChange, RatioChange)
_OF_FIGURES = (Scaling, MassChange, RatioChange, WindowChange)


def is_doubted(change: Change) -> bool:
    """Whether the measuring explains all of it."""
    return isinstance(change, Measured) and change.beyond_spread is False


def is_only_scaled(changes: Sequence[Change]) -> bool:
    """Whether nothing changed but the size of the batch, its ratios as before."""
    scaled = any(isinstance(c, Scaling) and c.ratios_unchanged for c in changes)
    return scaled and all(c.kind in ("batch-scaled", "yield", "header") for c in changes)


def has_figure(change: Change) -> bool:
    """Whether a figure moved that stands on both sides."""
    match change:
        case LineChange():
            return change.moved_percent is not None
        case StepChange():
            return change.figures is not None and None not in change.figures
        case _:
            return isinstance(change, _OF_FIGURES)

"""What somebody asks `scale` for, in words, to a scaled formula and its new file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.diff.difference import Difference, difference_between
from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.nodes import Collection, Scalar, changed, each, read_commented
from perflour.kitchen.house import Kitchen
from perflour.kitchen.pans import Pans, parse_pans
from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.result import CannotRun, request_field
from perflour.scale.scaling import (
    BATTER_DENSITY_G_PER_ML,
    USUAL_FILL,
    Scaled,
    ScaledLine,
    Style,
    factor_between_pans,
    factor_by_least,
    factor_to_batch,
    factor_to_flour,
    factor_to_pans,
    factor_to_pieces,
    rounded_g,
    scale,
)

MOST = 10_000
#: The fields of a request of which one is said.
TARGETS = ("times", "batch", "pieces", "flour", "pans", "have")


@dataclass(frozen=True)
class ScaleRequest:
    """What a formula is scaled to, as people say it: one target, and how the new amounts are written.

    The targets: ``times`` (2, 1/3), ``batch`` (2 kg), ``pieces`` (24; with ``each`` of a mass), ``flour``
    (500 g), ``pans`` (2 round 20 x 5 cm; instead of ``from_pans``, or with ``fill`` as a share and
    ``density`` in g per ml) or ``have`` (egg=3 large). ``resolution`` is the step of the scale (5 g),
    the house's where nothing is said.
    """

    times: str | None = None
    batch: str | None = None
    pieces: str | None = None
    each: str | None = None
    flour: str | None = None
    pans: str | None = None
    from_pans: str | None = None
    fill: str | None = None
    density: str | None = None
    have: tuple[str, ...] = ()
    resolution: str | None = None
    whole_eggs: bool = False
    household: bool = False


@dataclass(frozen=True)
class Rescaled:
    """A scaled formula, the file that says so, and what rounding did to the ratios."""

    before: Balance
    after: Balance
    scaled: Scaled
    content: bytes
    effect: Difference


def scale_source(
    content: bytes, balance: Balance, kitchen: Kitchen, asked: ScaleRequest
) -> Rescaled:
    """Scale a formula file as asked.

    Raises CannotRun for a request that cannot be read or met.
    """
    factor, reason = factor_asked(balance, asked)
    if not 1 / MOST <= factor <= MOST:
        raise CannotRun(f"x{factor:.3g} is beyond any kitchen; check the target")
    resolution_g = _mass_g("resolution", asked.resolution) or kitchen.house.scale_resolution_g
    style = Style(resolution_g, asked.whole_eggs, asked.household)
    pieces = int(_number("pieces", asked.pieces, whole=True)) if asked.pieces else None
    scaled = scale(balance, factor, reason, style, pieces)
    written = scaled_file(content, scaled, resolution_g)
    after = weigh_file(written, "scaled", kitchen)
    if pieces_now := scaled.pieces:  # what rounding and whole eggs really leave for a piece
        scaled = replace(scaled, scaling_weight_g=after.batch_g / pieces_now)
        written = scaled_file(content, scaled, resolution_g)
        after = weigh_file(written, "scaled", kitchen)
    return Rescaled(
        balance, after, scaled, written, difference_between(balance, after, "scaled", kitchen.house)
    )


def scaled_file(content: bytes, scaled: Scaled, resolution_g: float) -> bytes:
    """The formula file with the new amounts, portions and yield; comments and all else stay."""
    amounts = iter(scaled.lines)
    page = read_commented(text_of(content))
    root = changed(
        page.root,
        {
            "parts": lambda parts: each(parts, lambda _, part: _scaled_part(part, amounts)),
            "method": lambda steps: each(steps, lambda _, step: _scaled_step(step, scaled)),
            "yield": lambda node: _scaled_yield(node, scaled, resolution_g),
        },
    )
    return bytes_of(write_commented(page._replace(root=root)), like=content)


def _scaled_part(part: Collection, amounts: Iterator[ScaledLine]) -> Collection:
    def line(_: int, node: Collection) -> Collection:
        return changed(node, {"amount": lambda _: as_scalar(next(amounts).amount)})

    return changed(part, {"ingredients": lambda lines: each(lines, line)})


def _scaled_step(step: Collection, scaled: Scaled) -> Collection:
    def use(_: int, node: Scalar) -> Scalar:
        return as_scalar(scaled.portions[node.value]) if node.value in scaled.portions else node

    return changed(step, {"uses": lambda names: each(names, use)})


def _scaled_yield(node: Collection, scaled: Scaled, resolution_g: float) -> Collection:
    pieces, weight_g = scaled.pieces, scaled.scaling_weight_g
    if not pieces:
        return node
    changes = {"pieces": lambda _: Scalar(str(pieces), str(pieces), plain=True)}
    if weight_g:
        weight = f"{rounded_g(weight_g, resolution_g)} g"
        changes["scaling-weight"] = lambda _: as_scalar(weight)
    return changed(node, changes)


def factor_asked(balance: Balance, asked: ScaleRequest) -> tuple[float, str]:
    """The factor asked for, and why in words. Raises CannotRun for what cannot be read or met."""
    _refuse_idle_fields(asked)
    _refuse_all_but_one_target(asked)
    if asked.times:
        return _number("times", asked.times), f"times {asked.times}"
    if asked.batch:
        return factor_to_batch(
            balance, _mass_g("batch", asked.batch) or 0
        ), f"a batch of {asked.batch}"
    if asked.pieces:
        pieces = int(_number("pieces", asked.pieces, whole=True))
        each_g = _mass_g("each", asked.each)
        each = f" of {asked.each}" if each_g else ""
        return factor_to_pieces(balance, pieces, each_g), f"{pieces} pieces{each}"
    if asked.flour:
        return factor_to_flour(
            balance, _mass_g("flour", asked.flour) or 0
        ), f"{asked.flour} of the base's flour"
    if asked.pans:
        return _pan_factor(balance, asked, _pans(asked.pans))
    factor, item = factor_by_least(balance, [_stock(text) for text in asked.have])
    return factor, f"the {item} at hand"


def _refuse_idle_fields(asked: ScaleRequest) -> None:
    """A field that would be ignored is a misunderstanding."""
    for name, said, needed, target in (
        ("each", asked.each, "pieces", asked.pieces),
        ("from_pans", asked.from_pans, "pans", asked.pans),
        ("fill", asked.fill, "pans", asked.pans),
        ("density", asked.density, "pans", asked.pans),
    ):
        if said and not target:
            raise CannotRun(
                f"{request_field(name)} goes with {request_field(needed)}; add it or leave it out"
            )


def _refuse_all_but_one_target(asked: ScaleRequest) -> None:
    said = [name for name in TARGETS if getattr(asked, name)]
    if not said:
        raise CannotRun(f"say what to scale to: {', '.join(map(request_field, TARGETS))}")
    if len(said) > 1:
        raise CannotRun(
            f"{request_field(said[0])} and {request_field(said[1])} are two targets; say one"
        )


def _pan_factor(balance: Balance, asked: ScaleRequest, pans: Pans) -> tuple[float, str]:
    if asked.from_pans:
        before = _pans(asked.from_pans)
        return factor_between_pans(before, pans), f"{pans.text} instead of {asked.from_pans}"
    fill = _number("fill", asked.fill) if asked.fill else USUAL_FILL
    density = _number("density", asked.density) if asked.density else BATTER_DENSITY_G_PER_ML
    if not 0 < fill <= 1:
        raise CannotRun(
            f"{request_field('fill')} {asked.fill} is no share of a pan; write one like 2/3"
        )
    reason = f"{pans.text} filled to {fill:.0%} ({density:g} g per ml)"
    return factor_to_pans(balance, pans, fill, density), reason


def _pans(text: str) -> Pans:
    try:
        return parse_pans(text)
    except AmountProblem as problem:
        raise CannotRun(problem.message) from None


def _stock(text: str) -> tuple[str, str]:
    item, equals, amount = text.partition("=")
    if not equals or not item.strip() or not amount.strip():
        raise CannotRun(
            f"{request_field('have')} '{text}' is not ITEM=AMOUNT; write it like `egg=3 large`"
        )
    return item.strip(), amount.strip()


def _number(name: str, text: str, whole: bool = False) -> float:
    """A field's number above zero: 2, 2.5, 1/3 or 1 1/2."""
    try:
        value = sum((Fraction(piece) for piece in text.split()), Fraction(0))
    except (ValueError, ZeroDivisionError):
        value = Fraction(0)
    if not 0 < value <= MOST**2 or (whole and value.denominator != 1):
        kind = "whole number above zero" if whole else "number above zero"
        raise CannotRun(
            f"{request_field(name)} '{text}' is no {kind}; write one like {'24' if whole else '2.5 or 1/3'}"
        )
    return float(value)


def _mass_g(name: str, text: str | None) -> float | None:
    """A field's mass in g; None where it was not said."""
    if text is None:
        return None
    try:
        mass = weigh(parse_amount(text), None, "")
    except AmountProblem as problem:
        raise CannotRun(f"{request_field(name)}: {problem.message}") from None
    if not isinstance(mass, Mass):
        raise CannotRun(
            f"{request_field(name)} '{text}' is no mass; write it like `500 g` or `2 kg`"
        )
    return mass.grams

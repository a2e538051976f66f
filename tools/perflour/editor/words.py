"""What is told of a line in few words: its grams, its percentage and whose, as hints, hovers and lenses say them."""

from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.balance.ratios import is_fine
from perflour.kitchen.figures import counted, grams, percent
from perflour.kitchen.house import House
from perflour.report.bakers_table import spread_shown


def mass_words(weighed: Weighed, house: House) -> str:
    """`118 ± 4 g`; the spread where the scale would show it."""
    if weighed.mass is None:
        return "not weighed"
    said, spread = (
        grams(weighed.mass.grams, house.scale_resolution_g),
        spread_shown(weighed.mass.spread_g),
    )
    return f"{said} ± {spread} g" if spread else f"{said} g"


def percent_words(weighed: Weighed) -> str:
    """`62.5 %`; empty where there is no 100 %."""
    if weighed.percent is None:
        return ""
    return f"{percent(weighed.percent, is_fine(weighed.ingredient))} %"


def hundreds(balance: Balance) -> dict[str, str]:
    """What the percentages of each part are of, by its name, where it has to be said: not the one flour of all."""
    said = {part.part.name: balance.of_part(part) for part in balance.parts}
    return said if balance.formula.basis or len(set(said.values())) > 1 else {}


def batch_words(balance: Balance, house: House) -> str:
    """`batch 1,734 g, 2 x loaf of 867 g`, and how many lines are missing from it."""
    step = house.scale_resolution_g
    said = [f"batch {grams(balance.batch_g, step)} g"]
    yields = balance.formula.yields
    if yields and balance.mass_per_piece_g:
        each = grams(balance.mass_per_piece_g, step)
        said.append(f"{yields.pieces:,} x {yields.piece} of {each} g")
    if balance.unweighed:
        said.append(f"without {counted(len(balance.unweighed), 'line')} that cannot be weighed")
    return ", ".join(said)

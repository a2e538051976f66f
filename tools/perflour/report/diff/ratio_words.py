"""What is said of ratios that moved, or are not known any more."""

from perflour.balance.gas import GAS
from perflour.balance.ratios import FINE_RATIOS
from perflour.diff.change import RatioChange, TextChange, WindowChange
from perflour.kitchen.figures import percent
from perflour.report.diff.figures import (
    crossing_said,
    doubt,
    from_percent_to,
    ratio_name,
    reads_the_same,
)


def ratio(change: RatioChange, basis: str) -> str:
    if change.subject in FINE_RATIOS and not change.after_percent and not change.lacking_after:
        was = percent(change.before_percent, change.fine)
        return f"no {ratio_name(change.subject)} left (was {was} % of {basis}){crossing_said(change.crossing)}"
    if change.subject == GAS:
        return _gas(change, basis)
    narrow = change.crossing is not None and reads_the_same(change)
    said = f"{ratio_name(change.subject)} {from_percent_to(change, basis, fine=narrow)}"
    lacking = change.lacking_before, change.lacking_after
    if lacking[0] != lacking[1]:  # what is unknown on both sides hardly moves
        said += f" (not counted: before {lacking[0] or 'nothing'}, now {lacking[1] or 'nothing'})"
    return said + crossing_said(change.crossing) + doubt(change)


def _gas(change: RatioChange, basis: str) -> str:
    before, after = (percent(p, fine=True) for p in (change.before_percent, change.after_percent))
    tail = f" (not counted: {change.lacking_after})" if change.lacking_after else ""
    return f"{ratio_name(GAS)} {before} g -> {after} g for 100 g of {basis}{tail}{crossing_said(change.crossing)}{doubt(change)}"


def ratio_unknown(change: RatioChange, basis: str) -> str:
    name = ratio_name(change.subject)
    if change.lacking_after:
        was = percent(change.before_percent, change.fine)
        return f"{name} not known any more (was {was} % of {basis}): no weight is known of {change.lacking_after}"
    now = percent(change.after_percent, change.fine)
    return f"{name} now known, {now} % of {basis}: {change.lacking_before} has a weight"


def window(change: WindowChange, _: str) -> str:
    share = percent(change.percent, change.fine)
    return f"{ratio_name(change.subject)} {share} % as before{crossing_said(change.crossing)} of its new class"


def basis_unknown(change: TextChange, _: str) -> str:
    if change.text_after:
        return f"100 % not whole any more: {change.text_after} may belong to it; told as typed, not in percent"
    return f"100 % whole now, before without {change.text_before}; told as typed, not in percent"


def piece_unknown(change: TextChange, _: str) -> str:
    if change.text_after:
        return f"{change.subject} not known any more: no weight is known of {change.text_after}"
    return f"{change.subject} now known: {change.text_before} has a weight"

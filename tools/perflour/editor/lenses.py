"""What stands over a formula: its batch, its water, and how it differs from the last commit."""

from collections.abc import Iterator

from perflour.balance.balance import Balance
from perflour.balance.ratios import RatiosOnDemand
from perflour.diff.difference import difference_between
from perflour.editor.head import Committed
from perflour.editor.page import Page
from perflour.editor.text import Span
from perflour.editor.words import batch_words
from perflour.kitchen.figures import percent
from perflour.report.diff.summary import summary_line

#: Of a batter the liquid says more: milk and egg wet it too.
_WATERS = ("hydration", "liquid")


def lens_words(page: Page) -> tuple[str, ...]:
    """The batch and the water of a formula that can be weighed."""
    if page.balance is None:
        return ()
    return (batch_words(page.balance, page.kitchen.house), *_water(page.balance))


def _water(balance: Balance) -> Iterator[str]:
    """Hydration; of what is wet by milk alone its liquid."""
    if balance.basis_g <= 0:
        return
    ratios = RatiosOnDemand(balance)
    for name in _WATERS:
        ratio = ratios[name]
        if ratio.percent > 0:
            least = "at least " if ratio.lacking else ""
            yield f"{name} {least}{percent(ratio.percent)} % of {balance.of}"
            return


def lens_span(page: Page) -> Span:
    """What the lenses are about: the entry that names the formula."""
    assert page.document is not None
    place = page.document.key_place("formula")
    at = page.text.of_place(place.line, place.column)
    return Span(at, page.text.line_end(page.text.line_at(at)))


def against_head(page: Page, committed: Committed) -> str:
    """How the text differs from the last commit, in ratios; empty where there is nothing to say it of."""
    if page.balance is None:
        return ""
    if committed.why_not:
        return committed.why_not
    if committed.balance is None:
        return "last commit: cannot be weighed"
    after, house = page.balance, page.kitchen.house
    difference = difference_between(committed.balance, after, page.shown, house)
    if difference.is_empty:
        return "as in the last commit"
    said = summary_line(difference).removeprefix(f"{difference.id}: ")
    return f"differs from the last commit: {said}"

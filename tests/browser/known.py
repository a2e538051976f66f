"""What is known to be wrong with a page and is being mended, by page and look: each row has to go."""

from __future__ import annotations

from tests.browser.looks import Fault

KNOWN = {
    ("compare", "paper"): "the table of eight formulas is wider than A4 lies",
}


def unknown(page: str, faults: list[Fault]) -> list[Fault | str]:
    """The faults that nobody knew of, and rows of faults that are mended."""
    known = {look for name, look in KNOWN if name == page}
    mended = known - {fault.look for fault in faults}
    new = [fault for fault in faults if fault.look not in known]
    return [*new, *(f"mended, so take it out of KNOWN: {page}, {look}" for look in sorted(mended))]

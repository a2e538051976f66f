"""What makes the pages of the site: of one formula, and over all of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from perflour.site.build import Makers

if TYPE_CHECKING:
    from perflour.site.of_formula import OfFormula
    from perflour.site.whole import Whole


def _of_formula(of: OfFormula) -> Mapping[str, bytes]:
    from perflour.report.site.formula import formula_pages  # a run that finds no change makes none

    return formula_pages(of)


def _over_all(whole: Whole) -> Mapping[str, bytes]:
    from perflour.report.site.ingredients import ingredient_pages  # with all that statistics need
    from perflour.report.site.reports import report_pages
    from perflour.report.site.start import start_pages

    return {**start_pages(whole), **ingredient_pages(whole), **report_pages(whole)}


MAKERS = Makers(_of_formula, _over_all)

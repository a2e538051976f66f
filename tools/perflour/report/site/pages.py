"""What makes the pages of the site: of one formula, and over all of them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from perflour.report.site.formula import formula_pages
from perflour.report.site.ingredients import ingredient_pages
from perflour.report.site.reports import report_pages
from perflour.report.site.start import start_pages
from perflour.site.build import Makers
from perflour.site.whole import Whole


def makers(house: str) -> Makers:
    """Of the pages of a house."""
    return Makers(partial(formula_pages, house), _over_all)


def _over_all(whole: Whole) -> Mapping[str, bytes]:
    return {**start_pages(whole), **ingredient_pages(whole), **report_pages(whole)}

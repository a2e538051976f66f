"""One table: what there are reports on, in which forms, and what makes each.

A new form costs a function and its row here; commands take their choices from it, and what the ending
of a file's name stands for. Functions of one subject all take the same values and give text or bytes.
They are named, not imported: the table is read at every start, its modules where a report is made.
"""

import os
from collections.abc import Callable
from functools import wraps

from perflour import plain
from perflour.result import CannotRun, request_field
from perflour.typed import Any

#: By subject and form the function, ``module:name`` below perflour.report; the usual form comes first.
FORMS: dict[str, dict[str, str]] = {
    "lint": {
        "text": "lint:checked_text",
        "lines": "lint:checked_lines",
        "markdown": "lint:checked_markdown",
        "json": "lint:checked_json",
        "sarif": "sarif:checked_sarif",
    },
    "show": {
        "text": "bakers_table:balance_text",
        "json": "bakers_table:balance_json",
        "recipe": "recipe:balance_recipe",
    },
    # of the same formulas together, for a spreadsheet
    "sheets": {"xlsx": "live_sheet:formulas_xlsx"},
    "import": {
        "formula": "imported:formulas_text",
        "text": "imported:readings_text",
        "json": "imported:readings_json",
    },
    "contents": {"text": "contents:contents_text", "json": "contents:contents_json"},
    "scale": {
        "text": "scaled:scaled_text",
        "json": "scaled:scaled_json",
        "formula": "scaled:scaled_formula",
    },
    "plan": {
        "text": "bakeday.output:plan_text",
        "markdown": "bakeday.output:plan_markdown",
        "html": "bakeday.output:plan_html",
        "svg": "bakeday.output:plan_svg",
        "json": "bakeday.data:plan_json",
    },
    # of the same plan, for the bench
    "bench sheets": {
        "text": "bakeday.bench:bench_text",
        "markdown": "bakeday.bench:bench_markdown",
        "html": "bakeday.bench:bench_html",
    },
    "cost": {
        "text": "bakeday.costs:costs_text",
        "markdown": "bakeday.costs:costs_markdown",
        "json": "bakeday.costs:costs_json",
    },
    "diff": {
        "text": "diff.text:differences_text",
        "json": "diff.text:differences_json",
        "markdown": "diff.text:differences_markdown",
        "subject": "diff.summary:subjects_text",
    },
    "compare": {
        "text": "compare.output:terminal_text",
        "markdown": "compare.markdown:side_by_side_markdown",
        "html": "compare.html:side_by_side_html",
        "csv": "compare.data:side_by_side_csv",
        "json": "compare.data:side_by_side_json",
        "svg": "compare.output:chart_svg",
        "png": "compare.output:chart_png",
    },
    "find": {
        "text": "asking.find:found_text",
        "markdown": "asking.find:found_markdown",
        "json": "asking.find:found_json",
        "csv": "asking.find:found_csv",
    },
    "evidence": {
        "text": "evidence.table:evidence_text",
        "markdown": "evidence.table:evidence_markdown",
        "csv": "evidence.table:evidence_csv",
        "json": "evidence.table:evidence_json",
    },
    "why": {
        "text": "evidence.why:why_text",
        "markdown": "evidence.why:why_markdown",
        "json": "evidence.why:why_json",
        "svg": "evidence.chart:why_svg",
    },
    "middle": {
        "text": "evidence.middle:middle_text",
        "json": "evidence.middle:middle_json",
    },
    "trial results": {
        "text": "designs.showed:showed_text",
        "markdown": "designs.showed:showed_markdown",
        "html": "designs.showed:showed_html",
        "json": "designs.showed:showed_json",
        "svg": "designs.showed:showed_svg",
    },
    "draft": {
        "pdf": "cookbook.output:book_pdf",
        "html": "cookbook.html:cookbook_html",
        "epub": "cookbook.epub:cookbook_epub",
        "json": "cookbook.output:cookbook_json",
    },
    # of one formula; the next row puts them together
    "changelog": {
        "text": "history.changelogs:changelog_text",
        "json": "history.changelogs:changelog_json",
        "markdown": "history.changelogs:changelog_markdown",
        "html": "history.html:changelog_html",
    },
    "changelogs together": {
        "text": "history.together:blocks_text",
        "json": "history.together:blocks_json",
        "markdown": "history.together:blocks_text",
        "html": "history.html:changelogs_page",
    },
    "changelog by commit": {
        "text": "history.by_commit:by_commit_text",
        "json": "history.by_commit:by_commit_json",
        "markdown": "history.by_commit:by_commit_markdown",
    },
    "history": {
        "text": "asking.history:history_text",
        "markdown": "asking.history:history_markdown",
        "html": "asking.history:history_html",
        "csv": "asking.history:history_csv",
        "json": "asking.history:history_json",
        "svg": "asking.history:history_svg",
        "png": "asking.history:history_png",
    },
    "release": {
        "text": "release.log:release_text",
        "json": "release.log:release_json",
        "markdown": "release.log:release_markdown",
        "html": "release.log:release_html",
    },
    "review": {
        "text": "release.review:review_text",
        "markdown": "release.review:review_markdown",
        "html": "release.review:review_html",
        "json": "release.review:review_json",
    },
    "bakes": {
        "text": "trials.bakes:bakes_text",
        "json": "trials.bakes:bakes_json",
        "markdown": "trials.bakes:bakes_markdown",
    },
    "trial": {
        "text": "designs.plan:trial_text",
        "markdown": "designs.plan:trial_markdown",
        "html": "designs.plan:trial_html",
        "json": "designs.plan_data:trial_json",
    },
    "trials": {
        "text": "designs.listing:trials_text",
        "json": "designs.listing:trials_json",
        "markdown": "designs.listing:trials_markdown",
    },
    "records": {"text": "lint:results_lines", "json": "lint:results_json"},
    "tasting sheets": {
        "text": "trials.sheets:sheets_text",
        "markdown": "trials.sheets:sheets_markdown",
        "html": "trials.sheets:sheets_html",
        "csv": "trials.sheets:answers_csv",
    },
    "judgements": {
        "text": "trials.judgements:judgements_text",
        "json": "trials.judgement_data:judgements_json",
        "markdown": "trials.judgements:judgements_markdown",
    },
    "setup": {"text": "setup:setup_text", "json": "setup:setup_json"},
}
#: The extra that brings what a form is made with, where that is more than every installation has.
MADE_WITH = {
    ("compare", "png"): "charts",
    ("history", "png"): "charts",
    ("draft", "pdf"): "book",
    ("sheets", "xlsx"): "sheets",
}
#: What the ending of a file's name stands for, where a subject has that form.
ENDINGS = {
    ".md": "markdown",
    ".markdown": "markdown",
    ".html": "html",
    ".htm": "html",
    ".json": "json",
    ".csv": "csv",
    ".sarif": "sarif",
    ".svg": "svg",
    ".png": "png",
    ".pdf": "pdf",
    ".epub": "epub",
    ".txt": "text",
    ".xlsx": "xlsx",
}
#: What is nothing for a terminal.
BINARY = ("pdf", "png", "epub", "xlsx")


def forms_of(subject: str) -> tuple[str, ...]:
    """The forms of a subject, the usual one first."""
    return tuple(FORMS[subject])


def form_asked(subject: str, output: str | None, name: str | None = None) -> str:
    """The form that is named, else the one that a file's name ends in, without a file the usual one.

    Raises CannotRun for a form or an ending that the subject has not, where the two contradict each other, and where
    what the form is made with is not installed.
    """
    form = _form_asked(subject, output, name)
    if extra := MADE_WITH.get((subject, form)):
        from perflour.system.extras import need

        need(extra)
    return form


def _form_asked(subject: str, output: str | None, name: str | None) -> str:
    known = FORMS[subject]
    if output and output not in known:
        raise CannotRun(f"there is no {output} of {subject}; known: {', '.join(known)}")
    ending = os.path.splitext(name or "")[1].lower()
    told = ENDINGS.get(ending, "")
    if name and output and told not in ("", output):
        raise CannotRun(
            f"{name} ends like {told}, {request_field('output')} says {output}; leave that out, or name another file"
        )
    if output or not name:
        return output or forms_of(subject)[0]
    if told not in known:
        one_of = f"one of {' '.join(endings_of(subject))}, or say the form with {request_field('output')}"
        which = one_of if len(known) > 1 else endings_of(subject)[0]
        raise CannotRun(f"{name}: no form is known by that ending; end it in {which}")
    return told


def endings_of(subject: str) -> list[str]:
    """How files of the forms of a subject end, one ending a form."""
    first = {form: ending for ending, form in reversed(ENDINGS.items())}
    return [first[form] for form in FORMS[subject] if form in first]


def maker(subject: str, form: str) -> Callable[..., Any]:
    """The function that makes a form: what it takes hangs on the subject, it gives text or bytes.

    Whatever makes it, no sign in it acts or hides where it is printed: ``perflour.plain``.
    """
    module, _, name = FORMS[subject][form].partition(":")
    loaded = __import__(f"perflour.report.{module}", fromlist=[name])
    make: Callable[..., Any] = getattr(loaded, name)

    @wraps(make)
    def made(*values: Any) -> Any:
        return _safe(form, make(*values))

    return made


def _safe(form: str, made: Any) -> Any:
    """A report with nothing in it that acts where its form is read, whatever stood in the files."""
    match form:
        case "json" | "sarif":
            return plain.json_safe(made)
        case "html":
            return plain.html_page_safe(made)
        case "svg":
            return plain.html_page_safe(made.decode()).encode()
        case "formula":
            from perflour.documents.on_screen import on_screen

            return on_screen(made)
    return made if form in BINARY else plain.printable(made)


def rendered(subject: str, form: str, *values: Any) -> bytes:
    """A report as bytes, text as UTF-8."""
    made = maker(subject, form)(*values)
    return made if isinstance(made, bytes) else str(made).encode()

"""What `changelog` and `release` do with their options: the text to print, and whether something is
behind or blocked.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from perflour.result import CannotRun


def changelog_command(options: argparse.Namespace, paths: Sequence[str]) -> tuple[str, bool]:
    """Print, write or check changelogs; what is behind is told with --check. Raises CannotRun."""
    from perflour import changelog_files as files
    from perflour.report.changelog_output import changelog_render, changelogs_whole

    if options.by == "commit" and not (options.write or options.check):
        return _by_commit(options, paths), False
    form = "markdown" if options.write or options.check else options.output
    remember = not options.forget
    committed = form == "markdown"
    found = files.told(paths, form, changelog_render(form), committed, options.jobs, remember)
    if options.write:
        return "".join(f"{path}\n" for path in files.write_changelogs(found)), False
    if options.check:
        from perflour.report.changelogs import stale_text

        stale = files.stale_changelogs(found)
        return stale_text(stale), bool(stale)
    return changelogs_whole(form, [changelog.text for changelog in found]), False


def _by_commit(options: argparse.Namespace, paths: Sequence[str]) -> str:
    from perflour.changelog import entries
    from perflour.report import changelog_entries as report

    render = {
        "text": report.entries_text,
        "markdown": report.entries_markdown,
        "json": report.entries_json,
    }
    if options.output not in render:
        raise CannotRun("HTML is by formula; leave --by commit out, or ask for another --output")
    committed = options.output == "markdown"
    return render[options.output](entries(paths, committed, options.jobs, not options.forget))


def release_command(options: argparse.Namespace, paths: Sequence[str]) -> tuple[str, bool]:
    """Print a release log, or prepare a release; True where it is blocked. Raises CannotRun."""
    from perflour import release as log
    from perflour.report import releases as report

    render = {
        "text": report.release_text,
        "markdown": report.release_markdown,
        "json": report.release_json,
        "html": report.release_html,
    }
    if options.what != "prepare":
        if options.version or options.since or options.into:
            raise CannotRun("a version, --since and --into go with `release prepare VERSION`")
        return render[options.output](log.release(options.what, paths)), False
    if not options.version:
        raise CannotRun("`release prepare` takes the version to come: release prepare 2026.1")
    prepared = log.prepare(options.version, options.since, paths, options.into)
    if prepared.is_ready:
        log.write_log(prepared, report.release_markdown(prepared.release))
    return report.prepared_text(prepared), not prepared.is_ready

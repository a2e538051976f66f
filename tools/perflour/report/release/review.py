"""A review as text, Markdown for a comment, HTML and JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from perflour.diff.change import Change, TextChange
from perflour.kitchen.figures import counted
from perflour.plain import markdown_in_html, one_line
from perflour.release.evidence import KINDS, RecordChange
from perflour.release.policy import LOOK_FIRST, MAY_BE_MERGED, NOT_YET, WEIGHTS
from perflour.release.review import Review
from perflour.release.reviewed import Reviewed, merge_reasons, record_reasons
from perflour.report.diff.rows import moves_of
from perflour.report.diff.text import difference_data
from perflour.report.form.html_page import html_page
from perflour.report.form.json_text import json_text
from perflour.report.form.moves import Moves, moves_html, moves_markdown, moves_text, words
from perflour.report.history.changelogs import bake_data, escaped, item
from perflour.report.history.trials import baked_as_data, trial_data
from perflour.report.lint import result_data
from perflour.report.release.cautions import cautions_with_allergens
from perflour.report.release.review_rows import beside, heading, shortly, standing
from perflour.report.release.review_words import verdict_lines
from perflour.result import Result
from perflour.system.terminal import painted
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: Of the JSON: one more for each change of a key or of what it means. schema/review.schema.json.
FORMAT = 2
# Characters of a comment that common hosts take: 65,536 (from memory), with room for what a bot adds.
LONGEST_COMMENT = 60_000
# Rows of one formula that are shown unfolded, and in a terminal that is not asked for all.
SHOWN_OPEN = 12
SHOWN_IN_SHORT = 5
# More formulas than this are told in three lines each.
AT_LENGTH = 4


class Block(NamedTuple):
    """What is told of one formula or of the records: a title, how it stands, a table, lines under headings."""

    title: str
    standing: str = ""
    moves: Moves = Moves()
    groups: Sequence[tuple[str, Sequence[str]]] = ()
    headline: str = ""

    @property
    def lines(self) -> int:
        groups = sum(len(said) for _, said in self.groups)
        return len(self.moves.rows) + len(self.moves.remarks) + groups

    @property
    def in_short(self) -> Block:
        """Its first rows and lines."""
        remarks = self.moves.remarks[:SHOWN_IN_SHORT]
        rows = self.moves.rows[: SHOWN_IN_SHORT - len(remarks)]
        groups = [(title, said[:SHOWN_IN_SHORT]) for title, said in self.groups]
        return self._replace(moves=self.moves._replace(rows=rows, remarks=remarks), groups=groups)


_VERDICT_LOOKS = {MAY_BE_MERGED: "go", LOOK_FIRST: "mind", NOT_YET: "stop"}


def review_text(review: Review, whole: bool = False) -> str:
    """For a terminal: the first rows of each formula, all where the ``whole`` is asked for."""
    verdict, *others = map(one_line, verdict_lines(review))
    first = painted(verdict, _VERDICT_LOOKS[review.verdict])
    lines = [painted(one_line(_title(review)), "head"), first, *others]
    in_short = not whole and len(review.formulas) > AT_LENGTH
    if in_short:
        lines.append("")
        for formula in _in_order(review):
            lines += [
                one_line(heading(formula)),
                *(f"  {one_line(line)}" for line in shortly(formula)),
            ]
        lines += ["", "Ask for the whole to see every line of each."]
    for block in _blocks(review, with_formulas=not in_short):
        shown = block if whole else block.in_short
        lines += ["", one_line(_headline(block)), *(f"  {line}" for line in _block_lines(shown))]
        if block.lines > shown.lines:
            lines.append(f"  and {block.lines - shown.lines} more; ask for the whole")
    return "\n".join(lines) + "\n"


def _block_lines(block: Block) -> Iterator[str]:
    """The table and the lines of a block for a terminal, a group of one line in one."""
    yield from moves_text(block.moves, 2)
    for title, said in block.groups:
        if len(said) == 1:
            yield f"{title}: {one_line(said[0])}"
        else:
            yield from (title, *(f"  {one_line(line)}" for line in said))


def review_markdown(review: Review, whole: bool = False) -> str:
    """For a comment: long parts folded, and what would pass the hosts' limit left out and counted."""
    first, *others = verdict_lines(review)
    parts = [f"## {escaped(_title(review))}\n", f"**{escaped(first)}**\n"]
    parts += [f"{escaped(line)}\n" for line in others]
    room = LONGEST_COMMENT - sum(map(len, parts)) - 200
    blocks = list(_blocks(review))
    for number, block in enumerate(blocks):
        part = _folded(block, whole)
        if len(part) > room:
            more = counted(len(blocks) - number, "more part")
            parts.append(f"_{more} left out for length: run `perflour review` here._\n")
            break
        parts.append(part)
        room -= len(part) + 1
    return "\n".join(parts)


def _folded(block: Block, whole: bool) -> str:
    lines = [*map(item, block.moves.remarks), *([""] if block.moves.remarks else [])]
    lines += moves_markdown(block.moves, escaped)
    for title, said in block.groups:
        lines += [item(title), *(f"  {item(line)}" for line in said)]
    text = "\n".join(lines).rstrip() + "\n"
    title = _headline(block)
    if whole or block.lines <= SHOWN_OPEN:
        return f"### {escaped(title)}\n\n{text}"
    # inside of HTML Markdown's escapes would be shown
    return f"<details>\n<summary>{markdown_in_html(title)}</summary>\n\n{text}\n</details>\n"


def _headline(block: Block) -> str:
    return block.headline or block.title


def review_html(review: Review, whole: bool = False) -> str:
    """One page that needs no network."""
    return html_page(
        "review.html",
        title=one_line(_title(review)),
        verdict=[one_line(line) for line in verdict_lines(review)],
        stopped=review.verdict == NOT_YET,
        blocks=[
            {
                "title": one_line(block.title),
                "standing": one_line(block.standing),
                "is_formula": bool(block.headline),
                "open": whole or block.lines <= SHOWN_OPEN,
                "moves": moves_html(block.moves),
                "groups": [(title, [one_line(line) for line in said]) for title, said in block.groups],
            }
            for block in _blocks(review)
        ],
    )  # fmt: skip


def review_json(review: Review, whole: bool = False) -> str:
    """Exact values, always whole; valid against schema/review.schema.json."""
    data = {
        "format": FORMAT,
        "base": review.base,
        "head": review.head,
        "from": review.start,
        "to": review.end,
        "verdict": review.verdict,
        "said": verdict_lines(review),
        "reasons": [{"reason": reason, "weight": review.weights[reason]} for reason in review.reasons],
        "formulas": [_formula_data(formula) for formula in review.formulas],
        "records": [_record_data(record) for record in review.records],
        "merges": [{**merge._asdict(), "reasons": list(merge_reasons(merge))} for merge in review.merges],
        "house": [change._asdict() for change in review.house],
        "other_results": [result_data(result) for result in review.others],
    }  # fmt: skip
    return json_text(data, str) + "\n"


def _formula_data(formula: Reviewed) -> dict[str, Any]:
    return {
        "formula": formula.id,
        "title": formula.title,
        "path": formula.path,
        "renamed_from": formula.was or None,
        "copied_from": formula.copied_from or None,
        "status": formula.status or None,
        "status_before": formula.status_before or None,
        "revision": formula.revision or None,
        "revision_before": formula.revision_before or None,
        "is_new_revision": formula.is_new_revision,
        "reasons": list(formula.reasons),
        "difference": difference_data(formula.difference) if formula.difference else None,
        "bakes": [bake_data(bake) for bake in formula.bakes],
        "baked_as": [baked_as_data(baked) for baked in formula.baked_as],
        "trials": [trial_data(told) for told in formula.trials],
        "bakes_before": [bake_data(bake) for bake in formula.bakes_before],
        "changelog_behind": formula.changelog_behind,
        "new_results": [result_data(result) for result in formula.new],
        "gone_results": [result_data(result) for result in formula.gone],
        "kept_results": formula.kept,
        "allergens_new": {name: list(by) for name, by in formula.allergens},
        "allergens_gone": list(formula.allergens_gone),
        "waivers_new": [{"rule": w.rule, "item": w.item or None, "because": w.because, "with_its_cause": w in formula.caused} for w in formula.waivers],
    }  # fmt: skip


def _record_data(record: RecordChange) -> dict[str, Any]:
    return {
        "path": record.path,
        "kind": record.kind,
        "how": record.how,
        "by": list(record.by),
        "told": record.told,
        "formulas": list(record.formulas),
        "revisions": list(record.of),
        "changes_what_it_says": record.is_evidence,
        "amended_because": record.amended or None,
        "approval_rests_on_it": record.rests,
        "reasons": list(record_reasons(record)),
    }


def _title(review: Review) -> str:
    return f"Review of {review.base}..{review.head}"


def _in_order(review: Review) -> list[Reviewed]:
    """The formulas that something stands against first, the gravest before the others."""

    def gravity(formula: Reviewed) -> int:
        return max((WEIGHTS.index(review.weights[r]) for r in formula.reasons), default=-1)

    return sorted(review.formulas, key=lambda formula: (-gravity(formula), formula.path))


def _blocks(review: Review, with_formulas: bool = True) -> Iterator[Block]:
    """The formulas that something stands against first, then the others, their cautions, and all the rest."""
    for formula in _in_order(review) if with_formulas else ():
        yield _formula_block(formula)
    if cautions := cautions_with_allergens(_with_new_allergens(review)):
        yield Block("Cautions", groups=cautions)
    if review.records:
        yield _records(review)
    if review.merges:
        said = [(m.path, [*m.conflicts] or [_merge_said(m.is_nobodys)]) for m in review.merges]
        yield Block(f"After the merge into {review.base}", groups=said)
    if review.house:
        yield _house_files(review)
    if review.others:
        said_of = [_result(result) for result in review.others]
        yield Block("New from lint on other files", moves=Moves(remarks=said_of))


def _records(review: Review) -> Block:
    # a trial has many variants: they come last
    listed = sorted(review.records, key=lambda record: record.kind == KINDS["variant"])
    rows = [words(r.path, f"{r.kind} {r.how}", ", ".join(r.by), _record_said(r)) for r in listed]
    heads = ("record", "how", "by", "what it says")
    return Block("Records", counted(len(rows), "record"), Moves(heads, rows))


def _house_files(review: Review) -> Block:
    rows = [
        words(f"{change.path}: {change.entry}", _value(change.before), _value(change.after))
        for change in review.house
    ]
    return Block("House files", counted(len(rows), "change"), Moves(("entry", "before", "after"), rows))  # fmt: skip


def _with_new_allergens(review: Review) -> list[str]:
    return [formula.title for formula in _in_order(review) if formula.allergens]


def _formula_block(formula: Reviewed) -> Block:
    moves = Moves()
    if formula.difference and formula.revision_before and not formula.is_gone:
        moves = moves_of([c for c in formula.difference.changes if not _is_told_beside(c)])
    return Block(
        formula.title, standing(formula), moves, list(beside(formula)), headline=heading(formula)
    )


def _is_told_beside(change: Change) -> bool:
    """The status stands in the heading, waivers that are only added below the table."""
    waived = change.subject == "waivers" and isinstance(change, TextChange) and not change.text_before  # fmt: skip
    return change.kind == "header" and (change.subject == "status" or waived)


def _merge_said(is_nobodys: bool) -> str:
    if is_nobodys:
        return "merges without a conflict into a revision of neither side; bake it before it is approved"
    return "merges without a conflict"


def _record_said(record: RecordChange) -> str:
    why = f"; amended: {record.amended}" if record.amended else ""
    late = "; dated before a record that was there" if record.is_backdated else ""
    return f"{record.told}{why}{late}".strip("; ")


def _result(result: Result) -> str:
    return f"{result.place}: {result.level}: {result.message} [{result.rule}]"


def _value(value: object) -> str:
    return "nothing" if value is None else json.dumps(value, ensure_ascii=False, default=str)

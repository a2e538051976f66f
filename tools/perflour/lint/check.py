"""Files to results: every kind of file read, formulas judged by the rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import groupby

from perflour.balance.balance import Balance, balance
from perflour.balance.files import weigh_or_tell
from perflour.documents.reader import read_document
from perflour.documents.schema import Kind, check_schema
from perflour.formula.file import read_or_tell
from perflour.formula.formula import REFERENCE, Formula, Waiver
from perflour.kitchen.house import Kitchen, Kitchens, read_valid
from perflour.lint.judging import context_of, covers, result_of, told_by, waive
from perflour.lint.rule import Context, Rule
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.reading import READING
from perflour.result import FileProblem, Result, with_lines
from perflour.system.file_kinds import BY_NAME, kind_of
from perflour.system.files import InputFile, read_or_refused, refusal
from perflour.system.opening import held_at
from perflour.system.parallel import spread_out_groups

_IDS = frozenset(rule.id for rule in RULES)
#: Bytes of files that are worked on together: what is made of them takes thirty times as much memory.
MOST_TOGETHER = 1 << 18


def check_content(content: bytes, path: str, kitchen: Kitchen) -> tuple[Result, ...]:
    """All results of one formula file, by line. Never raises for what is in the file."""
    weighed = weigh_or_tell(content, path, kitchen)
    return check_balance(weighed, path, kitchen) if isinstance(weighed, Balance) else weighed


def check_balance(weighed: Balance, path: str, kitchen: Kitchen) -> tuple[Result, ...]:
    """All results of the rules over one formula, waived ones left out, by line."""
    return _judged([context_of(weighed, path, kitchen)], kitchen)[0]


def errors_of(weighed: Balance, path: str, kitchen: Kitchen) -> tuple[Result, ...]:
    """Of ``check_balance`` the errors: only the rules that make some are asked."""
    levels = kitchen.house.levels
    rules = (rule for rule in RULES if levels.get(rule.id, rule.level) == "error")
    return _by_line(told_by(rules, context_of(weighed, path, kitchen)))


def _judged(contexts: Sequence[Context], kitchen: Kitchen) -> list[tuple[Result, ...]]:
    """All results of the rules over each formula, waived ones left out, by line."""
    found: list[list[Result]] = [[] for _ in contexts]
    every = list(zip(contexts, found, strict=True))
    ours = [one for one in every if one[0].formula.status != REFERENCE]
    for rule in _switched_on(kitchen):
        check = rule.check
        for context, results in ours if rule.house_only else every:
            for finding in check(context):
                results.append(result_of(rule, finding, kitchen.house))
    return [_settled(*each, kitchen) for each in zip(contexts, found, strict=True)]


def _settled(context: Context, found: list[Result], kitchen: Kitchen) -> tuple[Result, ...]:
    """What was found in a formula but for what is waived, and what there is to say of waivers."""
    if not found and not context.formula.waivers:
        return ()
    kept, used = waive(found, context.formula.waivers)
    return _by_line((*kept, *_about_waivers(context, used, kitchen)))


def _by_line(results: Iterable[Result]) -> tuple[Result, ...]:
    return tuple(sorted(results, key=lambda r: (r.place.line, r.place.column, r.rule, r.message)))


def check_other(content: bytes, path: str, kind: Kind) -> tuple[Result, ...]:
    """Results of a file of another kind than formulas: reading and schema only."""
    try:
        return check_schema(read_document(content, path), kind)
    except FileProblem as problem:
        return (problem.result(),)


def _switched_on(kitchen: Kitchen) -> tuple[Rule, ...]:
    levels = kitchen.house.levels.items()
    off = {rule for rule, level in levels if level == "off"}
    return tuple([rule for rule in RULES if rule.id not in off]) if off else RULES


def _about_waivers(context: Context, used: set[Waiver], kitchen: Kitchen) -> Iterator[Result]:
    for waiver in context.formula.waivers:
        if waiver.rule not in READING and waiver.rule not in _IDS:
            yield Result(
                "waiver-of-unknown-rule",
                "warning",
                f"there is no rule '{waiver.rule}' to waive; check its name",
                waiver.place,
                waiver.rule,
            )
        elif waiver not in used and not _needed_once_approved(context, waiver, kitchen):
            about = f" for {waiver.item}" if waiver.item else ""
            yield Result(
                "waiver-not-needed",
                "note",
                f"the waiver of {waiver.rule}{about} covers nothing any more; remove it",
                waiver.place,
                waiver.rule,
            )


def _needed_once_approved(context: Context, waiver: Waiver, kitchen: Kitchen) -> bool:
    """Whether a waiver covers what a rule will say when the formula is approved."""
    if context.formula.status in ("approved", REFERENCE):  # a reference never is
        return False
    formula = context.formula._replace(status="approved")
    approved = context._replace(
        formula=formula, balance=context.balance._replace(formula=formula), memo={}
    )
    rules = (rule for rule in _switched_on(kitchen) if rule.id == waiver.rule)
    return any(covers(waiver, rule.id, f.subject) for rule in rules for f in rule.check(approved))


def check_all(
    paths: Sequence[str], jobs: int = 0, kitchens: Kitchens | None = None
) -> list[tuple[Result, ...]]:
    """The results of the files at all paths of a run, or of standard input. Raises CannotRun."""
    check = partial(_check_group, kitchens=kitchens or Kitchens())
    return spread_out_groups(check, paths, jobs)


def _check_group(group: Sequence[str], kitchens: Kitchens) -> list[tuple[Result, ...]]:
    return check_inputs(list(map(read_or_refused, group)), kitchens)


def check_weighed(
    formulas: Sequence[tuple[InputFile, Balance]], kitchens: Kitchens
) -> list[tuple[Result, ...]]:
    """The results of formulas that are weighed already, a few at a time, as parallel.TOGETHER says.

    Their places are told as they were read.
    """
    grouped = groupby(formulas, lambda one: kitchens.of(one[0].path))
    return [results for kitchen, group in grouped for results in _asked_of(list(group), kitchen)]


def _asked_of(
    formulas: Sequence[tuple[InputFile, Balance]], kitchen: Kitchen
) -> list[tuple[Result, ...]]:
    contexts = [context_of(weighed, source.path, kitchen) for source, weighed in formulas]
    return [
        kitchen.results + with_lines(results, source.shown, source.content)
        for (source, _), results in zip(formulas, _judged(contexts, kitchen), strict=True)
    ]


def check_inputs(
    sources: Sequence[InputFile], kitchens: Kitchens | None = None
) -> list[tuple[Result, ...]]:
    """The results of files of any kind with their lines, for each those of its house files first.

    A few files at a time, as parallel.TOGETHER says, with the ``kitchens`` of the whole run.
    """
    kitchens = kitchens or Kitchens()
    if len(sources) > 1 and sum([len(source.content) for source in sources]) > MOST_TOGETHER:
        return [results for source in sources for results in check_inputs([source], kitchens)]
    kitchen_of = kitchens.of
    grouped = groupby(sources, lambda source: kitchen_of(source.path))
    return [results for kitchen, group in grouped for results in _checked(list(group), kitchen)]


def _checked(sources: Sequence[InputFile], kitchen: Kitchen) -> list[tuple[Result, ...]]:
    """The results of files of one kitchen, worked on stage by stage and rule by rule."""
    read = [_read(source, kitchen) for source in sources]
    contexts = [
        context_of(balance(formula, kitchen.catalogue), source.shown, kitchen)
        for source, formula in zip(sources, read, strict=True)
        if isinstance(formula, Formula)
    ]
    judged = iter(_judged(contexts, kitchen))
    found = [next(judged) if isinstance(one, Formula) else one for one in read]
    return [
        kitchen.results + with_lines(results, source.shown, source.content)
        for source, results in zip(sources, found, strict=True)
    ]


def _read(source: InputFile, kitchen: Kitchen) -> Formula | tuple[Result, ...]:
    """The formula in a file, or what is wrong with it; of another kind of file all its results."""
    if source.refused:
        return (refusal(source),)
    kind = kind_of(source.path)
    if kind == "formula":
        return read_or_tell(source.content, source.shown, kitchen.catalogue.said.customs)
    if reader := BY_NAME[kind].reader:
        return _results_of(reader, source, kitchen)
    if held_at(source.path):
        return read_valid(source.path, kind)[1]
    return check_other(source.content, source.shown, kind)


def _results_of(reader: str, source: InputFile, kitchen: Kitchen) -> tuple[Result, ...]:
    """What the reader of a kind of file (``module:function``) says is wrong."""
    module, _, function = reader.partition(":")
    read = getattr(__import__(module, fromlist=[function]), function)
    found: tuple[Result, ...] = read(source.content, source.shown, kitchen.catalogue).results
    return found

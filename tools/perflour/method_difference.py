"""Changes of method and header: what is text, compared as structure by deepdiff."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import SequenceMatcher
from typing import Any

from perflour.change import Change
from perflour.formula import Formula, Step, fold, use_said

Said = dict[str, Any]


def method_changes(before: Formula, after: Formula) -> Iterator[Change]:
    """Steps added, removed, moved or changed; changes of a bake step are of kind bake."""
    pairs, gone, new = _aligned(before.method, after.method)
    for old, now in pairs:
        yield from _step_changes(old, now)
    for step in list(gone):
        twin = next((s for s in new if _said(s) == _said(step)), None)
        if twin:
            gone.remove(step)
            new.remove(twin)
            yield Change("step-moved", "", step_text(step))
    yield from (Change("step-removed", "", step_text(step)) for step in gone)
    yield from (Change("step-added", "", step_text(step)) for step in new)


def header_changes(before: Formula, after: Formula) -> Iterator[Change]:
    """Title, class, status, origin, citation, notes, allergens, basis and waivers."""
    for key, old, new in _field_changes(_header(before), _header(after)):
        yield Change("header", "", key, text_before=old, text_after=new)


def step_text(step: Step) -> str:
    """A step in one line: verb, what it uses, then the rest as written."""
    uses = ", ".join(use.said if use.portion else use.name for use in step.uses)
    rest = " ".join(f"{key} {text}" for key, text in step.said.items() if key != "note")
    return " ".join(word for word in (step.do, uses, rest) if word)


def _aligned(
    before: tuple[Step, ...], after: tuple[Step, ...]
) -> tuple[list[tuple[Step, Step]], list[Step], list[Step]]:
    """Steps of one verb paired in order; the steps only on either side."""
    pairs: list[tuple[Step, Step]] = []
    gone: list[Step] = []
    new: list[Step] = []
    matcher = SequenceMatcher(
        None, [_verb(s) for s in before], [_verb(s) for s in after], autojunk=False
    )
    for tag, a, a_end, b, b_end in matcher.get_opcodes():
        if tag == "equal":
            pairs += zip(before[a:a_end], after[b:b_end], strict=True)
        else:
            gone += before[a:a_end]
            new += after[b:b_end]
    return pairs, gone, new


def _verb(step: Step) -> str:
    return fold(f"{step.do} {step.text('makes')}")


def _said(step: Step) -> Said:
    return {"uses": [use_said(use) for use in step.uses], **step.said}


def _step_changes(old: Step, new: Step) -> Iterator[Change]:
    kind = "bake" if new.bakes else "step-changed"
    for key, before, after in _field_changes(_said(old), _said(new)):
        yield Change(kind, "", f"{new.do}: {key}", text_before=before, text_after=after)


def _field_changes(before: Said, after: Said) -> Iterator[tuple[str, str, str]]:
    """Each field that differs, with both values as text; lists by what came and went."""
    if before == after:
        return
    from deepdiff import DeepDiff  # 285 ms: only where something differs

    # 0: fields that share few keys are compared all the same, not replaced as a whole
    tree = DeepDiff(before, after, ignore_order=True, view="tree", threshold_to_diff_deeper=0)
    fields: dict[str, tuple[list[str], list[str]]] = {}
    for levels in tree.values():
        for level in levels:
            path = level.path(output_format="list")
            gone, come = fields.setdefault(str(path[0]), ([], []))
            for value, texts in ((level.t1, gone), (level.t2, come)):
                if str(value) != "not present":
                    texts += [str(v) for v in value] if isinstance(value, list) else [str(value)]
    for key in (*before, *(k for k in after if k not in before)):
        if key in fields:
            gone, come = fields[key]
            yield key, ", ".join(gone), ", ".join(come)


def _header(formula: Formula) -> Said:
    return {
        "title": formula.title,
        "class": formula.product_class,
        "status": formula.status,
        "origin": formula.origin,
        "citation": formula.citation,
        "notes": formula.notes,
        "allergens": list(formula.allergens),
        "basis": list(formula.basis),
        "waivers": [
            f"{w.rule}{f' for {w.item}' if w.item else ''}: {w.because}" for w in formula.waivers
        ],
    }

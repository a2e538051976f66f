"""Judgements as JSON: exact values with the same sentences, valid against schema/judge.schema.json."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from perflour.records.tasting import Sample
from perflour.report.trials.judgements import formula_words
from perflour.report.trials.session_words import session_words
from perflour.trials.judged import (
    FormulaJudgement,
    Judged,
    Judgements,
    RankTests,
    SessionJudgement,
    Summary,
    Tally,
)
from perflour.trials.means import ALPHA

#: One more for each change of a key or of what it means. schema/judge.schema.json.
FORMAT = 1


def judgements_json(found: Judgements, pairs: bool = False) -> str:
    """All of it; every pair too, whether asked for or not."""
    data = {
        "format": FORMAT,
        "alpha": ALPHA,
        "formulas": [_formula(one) for one in found.formulas],
        "sessions": [_session(one) for one in found.sessions],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _formula(one: FormulaJudgement) -> dict[str, Any]:
    return {
        "formula": one.formula,
        "title": one.title,
        "judged": [_judged(each) for each in one.judged],
        "compared": [asdict(each) for each in one.compared],
        "in_words": formula_words(one),
    }


def _judged(one: Judged) -> dict[str, Any]:
    means = {name: asdict(mean) for name, mean in one.means}
    return {"label": one.label, "revision": one.of, "bakes": list(one.bakes), "means": means}


def _session(one: SessionJudgement) -> dict[str, Any]:
    session = one.session
    return {
        "session": session.name,
        "date": session.date,
        "ask": session.ask,
        "question": session.question or None,
        "summaries": [_summary(each) for each in one.summaries],
        "judged": [_judged(each) for each in one.judged],
        "compared": [asdict(each) for each in one.compared],
        "ranking": _ranking(one.ranking) if one.ranking else None,
        "tally": _tally(one.tally) if one.tally else None,
        "decided": session.decided or None,
        "in_words": session_words(one),
    }


def _summary(one: Summary) -> dict[str, Any]:
    rows = [
        {
            **_sample(row.sample),
            "mean": row.mean,
            "low": row.low,
            "high": row.high,
            "group": row.group or None,
        }
        for row in one.rows
    ]
    return {
        "attribute": one.attribute,
        "tasters": one.tasters,
        "left_out": list(one.left_out),
        "method": one.method or None,
        "least_difference": one.least,
        "samples": rows,
    }


def _sample(sample: Sample) -> dict[str, Any]:
    return {"formula": sample.formula, "revision": sample.of, "code": sample.codes[0]}


def _ranking(one: RankTests) -> dict[str, Any]:
    return {
        "friedman": asdict(one.friedman),
        "page": asdict(one.page) if one.page else None,
        "limits": asdict(one.limits),
        "rank_sums": [{**_sample(sample), "sum": total} for sample, total in one.sums],
        "tied": one.tied,
    }


def _tally(one: Tally) -> dict[str, Any]:
    chosen = [
        {"formula": sample.formula, "revision": sample.of, "chosen": count}
        for sample, count in one.by_sample
    ]
    return {"by_sample": chosen, "test": asdict(one.choices)}

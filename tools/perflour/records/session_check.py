"""What is wrong inside the record of a tasting session, and what it still lacks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from perflour.documents.reader import Document
from perflour.records.tasting import Choice, Score, Session
from perflour.result import Result

#: Which list holds what tasters said, by what was asked.
ANSWERS = {"scores": "scores"} | dict.fromkeys(("preference", "difference", "triangle"), "choices")


def session_faults(session: Session, document: Document) -> list[Result]:
    """Where the record contradicts itself; it cannot be judged as it is."""
    found = [*_about_samples(session), *_about_order(session), *_about_answers(session)]
    return [_result("session-inconsistent", path, message, document) for path, message in found]


def session_gaps(session: Session, document: Document) -> list[Result]:
    """What tasters who were there have not said; what is said can be judged all the same."""
    if not session.is_tasted:
        key = ANSWERS[session.ask]
        message = f"nothing tasted is written down yet; write it under `{key}`"
        return [_result("session-incomplete", (), message, document)]
    return [_result("session-incomplete", p, m, document) for p, m in _missing(session)]


_Path = tuple[str | int, ...]
_Found = Iterator[tuple[_Path, str]]


def _result(rule: str, path: _Path, message: str, document: Document) -> Result:
    return Result(rule, "error", message, document.place(*path))


def _about_samples(session: Session) -> _Found:
    each = 2 if session.ask == "triangle" else 1
    if session.ask != "scores" and len(session.samples) != 2:
        yield ("samples",), f"{session.ask} is asked of two samples, not {len(session.samples)}"
    for at, sample in enumerate(session.samples):
        if len(sample.codes) != each:
            said = f"{len(sample.codes)} blind code{'s'[: len(sample.codes) != 1]}"
            yield ("samples", at, "codes"), f"{said}, but {session.ask} takes {each}; mend it"
    codes = Counter(code for sample in session.samples for code in sample.codes)
    for code, times in codes.items():
        if times > 1:
            yield ("samples",), f"code {code} stands for more than one sample; give each its own"
    if session.ask == "scores" and not session.attributes:
        yield (), "there is nothing to score; write at least one attribute under `attributes`"
    if session.ask == "difference" and len(session.attributes) != 1:
        yield ("attributes",), "a difference is of one attribute; write that one under `attributes`"
    if session.expect and (session.ask != "difference" or session.expect not in codes):
        yield (
            ("expect",),
            "`expect` names a sample's code, in a difference alone; mend or remove it",
        )


def _about_order(session: Session) -> _Found:
    tasters = Counter(served.taster for served in session.order)
    for at, served in enumerate(session.order):
        if tasters[served.taster] > 1:
            yield ("order", at), f"taster {served.taster} stands here twice; keep one"
        if not _serves_all(session, served.codes):
            triangle = session.ask == "triangle"
            wanted = "both samples, one of them twice" if triangle else "each sample once"
            said = f"taster {served.taster} is not served {wanted}"
            yield ("order", at, "serve"), f"{said}; check the codes against `samples`"
    for at, taster in enumerate(session.absent):
        if taster not in tasters:
            yield ("absent", at), f"taster {taster} is not in the order; check the name"


def _serves_all(session: Session, codes: tuple[str, ...]) -> bool:
    """Whether an order holds each sample once, in a triangle both of two and one of them twice."""
    known = session.sample_by_code
    if not set(codes) <= set(known):
        return False
    served = [session.samples.index(known[code]) for code in codes]
    wanted = 3 if session.ask == "triangle" else len(session.samples)
    return len(served) == wanted and set(served) == set(range(len(session.samples)))


def _about_answers(session: Session) -> _Found:
    key = ANSWERS[session.ask]
    other = "choices" if key == "scores" else "scores"
    if getattr(session, other):
        yield (other,), f"{session.ask} is asked, which has no {other}; write them under `{key}`"
        return
    served = {row.taster: row.codes for row in session.present}
    answers: Sequence[Score | Choice] = session.scores or session.choices
    seen: set[tuple[str, str]] = set()
    for at, answer in enumerate(answers):
        one = (answer.taster, answer.code if key == "scores" else "")
        if answer.taster in session.absent:
            yield (key, at), f"taster {answer.taster} is said to be absent; mend one of the two"
        elif answer.taster not in served:
            yield (key, at), f"taster {answer.taster} is not in the order; check the name"
        elif answer.code not in served[answer.taster]:
            yield (key, at, "code"), f"taster {answer.taster} was not served {answer.code}"
        elif one in seen:
            yield (key, at), f"taster {answer.taster} said this already; keep one"
        seen.add(one)
    for at, row in enumerate(session.scores):
        for name, _ in row.scores:
            if name not in session.attributes:
                known = ", ".join(session.attributes)
                yield (key, at, name), f"'{name}' is none of the attributes ({known}); mend one"


def _missing(session: Session) -> _Found:
    if session.ask != "scores":
        chosen = {choice.taster for choice in session.choices}
        for served in session.present:
            if served.taster not in chosen:
                yield (
                    ("choices",),
                    f"taster {served.taster} has not chosen; add it, or name the taster under `absent`",
                )
        return
    said = {(row.taster, row.code): dict(row.scores) for row in session.scores}
    for served in session.present:
        for code in served.codes:
            scores = said.get((served.taster, code), {})
            if lacking := [name for name in session.attributes if name not in scores]:
                yield (
                    ("scores",),
                    f"taster {served.taster} has no score of {code} for {', '.join(lacking)}; add it, or name the taster under `absent`",
                )

"""What is wrong inside the record of a tasting session, and what it still lacks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Protocol

from perflour.documents.reader import Document
from perflour.records.serving import THREE_SERVED
from perflour.records.tasting import Choice, Rank, Score, Session
from perflour.result import Place, Result

#: Which list holds what tasters said, by what was asked.
ANSWERS = {"scores": "scores", "ranking": "ranks"} | dict.fromkeys(
    ("preference", "difference", "triangle", "duo-trio"), "choices"
)


def figures_asked(ask: str, attributes: Sequence[str]) -> Sequence[str]:
    """What tasters give a figure for: each attribute, or the rank; nothing where they choose a sample."""
    return {"scores": attributes, "ranks": ("rank",), "choices": ()}[ANSWERS[ask]]


class Places(Protocol):
    """Where the values of a record stand: in its document, or in the table they came from."""

    def place(self, *path: str | int) -> Place: ...


def session_faults(session: Session, document: Document) -> list[Result]:
    """Where the record contradicts itself; it cannot be judged as it is."""
    found = [*_about_samples(session), *_about_order(session)]
    results = [_result("session-inconsistent", path, said, document) for path, said in found]
    return [*results, *answer_faults(session, document)]


def answer_faults(session: Session, places: Places) -> list[Result]:
    """Where what tasters said contradicts the order they were served in."""
    found = _about_answers(session)
    return [_result("session-inconsistent", path, message, places) for path, message in found]


def session_gaps(session: Session, document: Document) -> list[Result]:
    """What tasters who were there have not said; what is said can be judged all the same."""
    if not session.is_tasted:
        key = ANSWERS[session.ask]
        message = f"nothing tasted is written down yet; write it under `{key}`"
        return [_result("session-incomplete", (), message, document)]
    return [_result("session-incomplete", p, m, document) for p, m in _missing(session)]


_Path = tuple[str | int, ...]
_Found = Iterator[tuple[_Path, str]]


def _result(rule: str, path: _Path, message: str, places: Places) -> Result:
    return Result(rule, "error", message, places.place(*path))


def _about_samples(session: Session) -> _Found:
    each = 2 if session.ask in THREE_SERVED else 1
    count = len(session.samples)
    if session.ask == "ranking" and count < 3:
        yield ("samples",), f"a ranking is of 3 samples or more, not {count}; ask for a preference"
    if session.ask not in ("scores", "ranking") and count != 2:
        yield ("samples",), f"{session.ask} is asked of two samples, not {count}"
    for at, sample in enumerate(session.samples):
        if len(sample.codes) != each:
            said = f"{len(sample.codes)} blind code{'s'[: len(sample.codes) != 1]}"
            yield ("samples", at, "codes"), f"{said}, but {session.ask} takes {each}; mend it"
    codes = Counter(code for sample in session.samples for code in sample.codes)
    for code, times in codes.items():
        if times > 1:
            yield ("samples",), f"code {code} stands for more than one sample; give each its own"
    if session.ask == "ranking" and len(session.attributes) > 1:
        yield ("attributes",), "a ranking is by one attribute; keep one, or none for what is liked"
    if session.ask == "scores" and not session.attributes:
        yield (), "there is nothing to score; write at least one attribute under `attributes`"
    if session.ask == "difference" and len(session.attributes) != 1:
        yield ("attributes",), "a difference is of one attribute; write that one under `attributes`"
    if session.expect and (session.ask != "difference" or session.expect not in codes):
        yield (
            ("expect",),
            "`expect` names a sample's code, in a difference alone; mend or remove it",
        )
    if session.expect_order and (
        session.ask != "ranking" or sorted(session.expect_order) != sorted(codes)
    ):
        yield (
            ("expect-order",),
            "`expect-order` names the code of each sample once, in a ranking alone; mend or remove it",
        )


def _about_order(session: Session) -> _Found:
    tasters = Counter(served.taster for served in session.order)
    for at, served in enumerate(session.order):
        if tasters[served.taster] > 1:
            yield ("order", at), f"taster {served.taster} stands here twice; keep one"
        if not _serves_all(session, served.codes):
            three = session.ask in THREE_SERVED
            wanted = "both samples, one of them twice" if three else "each sample once"
            if session.ask == "duo-trio":
                wanted += ", the first of them again"
            said = f"taster {served.taster} is not served {wanted}"
            yield ("order", at, "serve"), f"{said}; check the codes against `samples`"
    for at, taster in enumerate(session.absent):
        if taster not in tasters:
            yield ("absent", at), f"taster {taster} is not in the order; check the name"


def _serves_all(session: Session, codes: tuple[str, ...]) -> bool:
    """Whether an order holds each sample once; of three served both of two, and in a duo-trio the first again."""
    known = session.sample_by_code
    if not set(codes) <= set(known):
        return False
    served = [session.samples.index(known[code]) for code in codes]
    wanted = 3 if session.ask in THREE_SERVED else len(session.samples)
    whole = len(served) == wanted and set(served) == set(range(len(session.samples)))
    return whole and (session.ask != "duo-trio" or served.count(served[0]) == 2)


def _about_answers(session: Session) -> _Found:
    key = ANSWERS[session.ask]
    for other in ("scores", "ranks", "choices"):
        if other != key and getattr(session, other):
            yield (
                (other,),
                f"{session.ask} is asked, which has no {other}; write them under `{key}`",
            )
            return
    served = {row.taster: row.codes for row in session.present}
    answers: Sequence[Score | Rank | Choice] = getattr(session, key)
    seen: set[tuple[str, str]] = set()
    for at, answer in enumerate(answers):
        one = (answer.taster, "" if key == "choices" else answer.code)
        if answer.taster in session.absent:
            yield (key, at), f"taster {answer.taster} is said to be absent; mend one of the two"
        elif answer.taster not in served:
            yield (key, at), f"taster {answer.taster} is not in the order; check the name"
        elif answer.code not in served[answer.taster]:
            yield (key, at, "code"), f"taster {answer.taster} was not served {answer.code}"
        elif session.ask == "duo-trio" and answer.code == served[answer.taster][0]:
            yield (
                (key, at, "code"),
                f"{answer.code} is the reference of taster {answer.taster}; write which of the other two is the same",
            )
        elif isinstance(answer, Rank) and answer.rank > len(session.samples):
            most = len(session.samples)
            yield (
                (key, at, "rank"),
                f"{answer.rank:g} is no rank of {most} samples; write 1 to {most}",
            )
        elif one in seen:
            yield (key, at), f"taster {answer.taster} said this already; keep one"
        seen.add(one)
    for at, row in enumerate(session.scores):
        for name, _ in row.scores:
            if name not in session.attributes:
                known = ", ".join(session.attributes)
                yield (key, at, name), f"'{name}' is none of the attributes ({known}); mend one"


def _missing(session: Session) -> _Found:
    key = ANSWERS[session.ask]
    if key == "choices":
        chosen = {choice.taster for choice in session.choices}
        for served in session.present:
            if served.taster not in chosen:
                yield (
                    ("choices",),
                    f"taster {served.taster} has not chosen; add it, or name the taster under `absent`",
                )
        return
    if key == "ranks":
        ranked = {(row.taster, row.code) for row in session.ranks}
        for served in session.present:
            if lacking := [code for code in served.codes if (served.taster, code) not in ranked]:
                yield (
                    ("ranks",),
                    f"taster {served.taster} has no rank of {', '.join(lacking)}; add it, or name the taster under `absent`",
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

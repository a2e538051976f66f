"""What a record of a test bake still lacks, asked line by line on a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from perflour.plain import one_line
from perflour.result import CannotRun
from perflour.trials.bake_request import (
    CONDITIONS,
    BakeSaid,
    batch_factor,
    checked_day,
    readings,
    taster_scores,
)
from perflour.trials.kept_photos import PhotoSaid

Ask = Callable[[str], str]
Tell = Callable[[str], None]
VERDICTS = {
    "keep": "this revision stands",
    "change": "try the next change",
    "reject": "go back",
}


def ask_for_missing(said: BakeSaid, ask: Ask, tell: Tell) -> BakeSaid:
    """The bake with what ``ask`` answers for what was not said; an empty answer leaves it out.

    Raises CannotRun where the answers end before the record is complete.
    """
    try:
        return _asked(said, ask, tell)
    except EOFError:
        raise CannotRun("stopped before the end; nothing was written") from None


def _asked(said: BakeSaid, ask: Ask, tell: Tell) -> BakeSaid:
    tell("An empty line leaves a thing out.")
    said = replace(
        said,
        date=said.date or _one(ask, tell, "day [today]: ", checked_day, optional=True),
        baker=said.baker or _one(ask, tell, "baker: ", str),
        batch=said.batch or _one(ask, tell, "batch factor [1]: ", batch_factor, True) or "1",
        conditions=said.conditions
        or {name: ask(f"{_said(name)}: ").strip() for name in CONDITIONS},
    )
    measured = said.measured or _several(
        ask, tell, "reading, like core=97 °C: ", lambda text: readings([text])
    )
    scores = said.scores or _several(
        ask, tell, "scores of a taster, 1 to 9, like A: crumb=7, flavour=8: ", taster_scores
    )
    said = replace(said, measured=tuple(measured), scores=tuple(scores))
    said = replace(
        said,
        notes=said.notes or ask("notes: "),
        verdict=said.verdict or _one(ask, tell, _verdict_question(), _verdict),
    )
    if said.next_try or said.verdict == "keep":
        return said
    following = ask("the one change to try next: ").strip()
    because = _one(ask, tell, "because: ", str) if following else ""
    return replace(said, next_try=following, next_because=because)


def ask_about_photos(said: BakeSaid, ask: Ask) -> BakeSaid:
    """The bake with what ``ask`` answers for photos without alternative text; empty stays empty. Raises CannotRun."""

    def described(photo: PhotoSaid) -> PhotoSaid:
        question = "what does the picture show, for those who do not see it?"
        return replace(photo, alt=photo.alt or ask(f"{one_line(photo.path)}: {question} "))

    try:
        return replace(said, photos=tuple(map(described, said.photos)))
    except EOFError:
        raise CannotRun("stopped before the end; nothing was written") from None


def _verdict_question() -> str:
    return f"verdict ({'; '.join(f'{word}: {meaning}' for word, meaning in VERDICTS.items())}): "


def _verdict(text: str) -> str:
    if text not in VERDICTS:
        raise CannotRun(f"'{text}' is no verdict; write one of {', '.join(VERDICTS)}")
    return text


def _said(name: str) -> str:
    return {"room": "room temperature", "flour-lot": "flour lot"}.get(name, name)


def _one(
    ask: Ask, tell: Tell, question: str, check: Callable[[str], object], optional: bool = False
) -> str:
    """One answer that ``check`` takes; asked again until then."""
    while True:
        answer = ask(question).strip()
        if not answer and optional:
            return ""
        if not answer:
            continue
        try:
            check(answer)
        except CannotRun as problem:
            tell(one_line(str(problem)))
            continue
        return answer


def _several(ask: Ask, tell: Tell, question: str, check: Callable[[str], object]) -> list[str]:
    """Answers until an empty one."""

    def answers() -> Iterator[str]:
        while answer := _one(ask, tell, question, check, optional=True):
            yield answer

    return list(answers())

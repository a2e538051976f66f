"""What a record of a test bake still lacks, asked line by line on a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from perflour.plain import one_line
from perflour.result import CannotRun
from perflour.trials.bake_lines import VERDICTS, AskedLine, asked_lines, lines_of
from perflour.trials.bake_request import BakeSaid, batch_factor, checked_day, taster_scores
from perflour.trials.kept_photos import PhotoSaid

Ask = Callable[[str], str]
Tell = Callable[[str], None]


def ask_for_missing(said: BakeSaid, ask: Ask, tell: Tell) -> BakeSaid:
    """The bake with what ``ask`` answers for what was not said; an empty answer leaves it out.

    Raises CannotRun where the answers end before the record is complete.
    """
    try:
        return _asked(said, ask, tell)
    except EOFError:
        raise CannotRun("stopped before the end; nothing was written") from None


def _asked(said: BakeSaid, ask: Ask, tell: Tell) -> BakeSaid:
    """Every line of the list that is not said yet, under its number on the sheet."""
    tell("An empty line leaves a thing out.")
    answers = _Answers(said)
    for line in asked_lines():
        if not answers.want(line):
            continue
        if line.key == "scores":
            answers.scores = _several(ask, tell, question(line), taster_scores)
        else:
            check, optional = _check(line)
            answers.take(line, _one(ask, tell, question(line), check, optional))
    return answers.said()


def ask_about_photos(said: BakeSaid, ask: Ask) -> BakeSaid:
    """The bake with what ``ask`` answers for photos without alternative text; empty stays empty. Raises CannotRun."""

    def described(photo: PhotoSaid) -> PhotoSaid:
        question = "what does the picture show, for those who do not see it?"
        return replace(photo, alt=photo.alt or ask(f"{one_line(photo.path)}: {question} "))

    try:
        return replace(said, photos=tuple(map(described, said.photos)))
    except EOFError:
        raise CannotRun("stopped before the end; nothing was written") from None


def question(line: AskedLine) -> str:
    """What is asked for a line."""
    usual = {"date": " [today]", "batch": " [1]"}.get(line.key, "")
    like = f", like {line.like}" if line.like else ""
    if line.key == "verdict":
        like = f" ({'; '.join(f'{word}: {meaning}' for word, meaning in VERDICTS.items())})"
    return f"{line.number}. {line.words}{usual}{like}: "


class _Answers:
    """What was said before, and what is answered now."""

    def __init__(self, said: BakeSaid) -> None:
        self.before = said
        self.conditions = dict(said.conditions or {})
        self.measured = list(said.measured)
        self.scores = list(said.scores)
        self.others = {
            "date": said.date,
            "baker": said.baker,
            "batch": said.batch,
            "notes": said.notes,
            "verdict": said.verdict,
            "try": said.next_try,
            "because": said.next_because,
        }

    def want(self, line: AskedLine) -> bool:
        """Whether a line is still to be asked; a revision that is kept needs no next change."""
        if line.group == "conditions":
            return line.key not in self.conditions
        if line.group == "measured":
            return line.key not in {word.partition("=")[0].strip() for word in self.measured}
        if line.key == "scores":
            return not self.scores
        if line.key == "try" and self.others["verdict"] == "keep":
            return False
        return not self.others[line.key] and (line.key != "because" or bool(self.others["try"]))

    def take(self, line: AskedLine, answer: str) -> None:
        if line.group == "conditions":
            self.conditions[line.key] = answer
        elif line.group == "measured":
            self.measured += [f"{line.key}={answer}"] if answer else []
        else:
            self.others[line.key] = answer

    def said(self) -> BakeSaid:
        return replace(
            self.before,
            date=self.others["date"],
            baker=self.others["baker"],
            batch=self.others["batch"] or "1",
            conditions=self.conditions,
            measured=tuple(self.measured),
            scores=tuple(self.scores),
            notes=self.others["notes"],
            verdict=self.others["verdict"],
            next_try=self.others["try"],
            next_because=self.others["because"],
        )


def _check(line: AskedLine) -> tuple[Callable[[str], object], bool]:
    """What looks at the answer to a line, and whether it may be left out."""
    match line.key:
        case "date":
            return checked_day, True
        case "batch":
            return batch_factor, True
        case "verdict":
            return _verdict, False
        case "baker" | "because":
            return str, False
    if line.group == "measured":
        return _reading, True
    return str, True


def _reading(text: str) -> object:
    """A reading without its name, which is on the sheet."""
    if any(text.startswith(f"{line.key}=") for line in lines_of("measured")):
        raise CannotRun(f"'{text}' has a name; write the reading alone, each is asked for in turn")
    return text


def _verdict(text: str) -> str:
    if text not in VERDICTS:
        raise CannotRun(f"'{text}' is no verdict; write one of {', '.join(VERDICTS)}")
    return text


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

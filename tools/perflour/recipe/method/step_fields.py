"""What a clause says besides its verb: times, temperatures, speeds, places, tools, signs of doneness."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from perflour.formula.verbs import WAITS, bakes
from perflour.kitchen.numbers import plain_numbers
from perflour.kitchen.numerals import figures_before, in_figures, in_small
from perflour.kitchen.quantity import AmountProblem, parse_duration
from perflour.recipe.method.ovens import UNSAID, Scale, heat_in, heats
from perflour.recipe.words import WORD, any_of, word_set

_NUMBER = (
    r"(?:[0-9]{1,4}[ -][0-9]/[0-9]{1,2}|[0-9]{1,4}/[0-9]{1,2}|[0-9]{1,4}\.[0-9]{1,2}|[0-9]{1,4})"
)
_RANGE = rf"{_NUMBER}(?:\s?(?:-|–|to|or)\s?{_NUMBER})?"
_TIME_UNIT = r"(?:seconds?|secs?|s|minutes?|mins?|hours?|hrs?|h|days?|d)\b\.?"
_TIME = re.compile(
    rf"(?:\bfor\s+)?(?P<hedge>\b(?:about|at least|up to)\s+)?(?:another\s+)?"
    rf"(?P<first>{_RANGE}\s?{_TIME_UNIT})(?:\s?(?:,|and)?\s?(?P<second>{_RANGE}\s?{_TIME_UNIT}))?",
    re.IGNORECASE,
)
#: "Turn it after 14 minutes" says when, and not for how long.
_AFTER = re.compile(r"\bafter (?:about |the first |another )?$", re.IGNORECASE)
_ONE_TIME = re.compile(rf"(?P<number>{_RANGE})\s?(?P<unit>{_TIME_UNIT})", re.IGNORECASE)
_HYPHEN = re.compile(r"\b([a-z]+|[0-9]+)-(inch|pound|lb|cm|litre)\b", re.IGNORECASE)
#: What a gas mark was called when ovens had a "Regulo".
_REGULO = re.compile(r"\breg(?:ulo|\.)?(?: mark| no\.?)? (?=[1-9]\b)", re.IGNORECASE)
_SHARE = re.compile(r"\b(?P<share>[1-9]/[0-9]{1,2})\b")
_SPEEDS = "|".join(sorted(word_set("speeds"), key=len, reverse=True))
_STAGE = re.compile(
    rf"(?:[,;]|\bthen\b|\band\b)\s*(?:(?:on|at)\s)?(?:(?P<speed>{_SPEEDS})\s(?:speed\s)?)?(?:for\s)?(?:(?P<time>{_RANGE}\s?{_TIME_UNIT})|(?P<bare>[0-9]{{1,2}})(?=\s(?:on\s)?(?:{_SPEEDS})\b))(?:\smore)?(?:\s(?:on\s)?(?P<after>{_SPEEDS})\b(?:\sspeed)?)?(?=\s*(?:[,;.]|$|and\b))",
    re.IGNORECASE,
)
_HOUR_AND = re.compile(r"\b1 hours? (?:to|or) 1 hours? (?:and )?([^\W\d_]+|[0-9]+)(?: min\w*)?\b", re.IGNORECASE)  # fmt: skip
_TO_AN_HOUR = re.compile(rf"\b([0-9]{{1,3}}) ?min(?:ute)?s? (?:to|or|-) ({_NUMBER}) ?(?:hours?|hrs?|h)\b", re.IGNORECASE)  # fmt: skip
#: A number without a unit that is said of a bake or a rest alone, and the least that is taken for minutes.
_BARE = re.compile(r"(?:^|\bfor|\banother|,)\s*(?:another |about |maybe )?(?P<time>(?P<first>[0-9]{1,3})(?:\s?-\s?[0-9]{1,3})?)(?: more)?\s*$", re.IGNORECASE)  # fmt: skip
LEAST_BARE = 2
_SHORT_UNITS = {"s": "s", "m": "min", "h": "h", "d": "d"}
_TIME_BEHIND = re.compile(
    rf",\s*(?:for |about |at least )*{_RANGE}\s?{_TIME_UNIT}(?: or (?:so|thereabouts))?\s*(?:,? or [^\W\d_]+(?: [^\W\d_]+){{0,3}})?$",
    re.IGNORECASE,
)
_UNTIL = re.compile(r"\b(?:or\s+)?(?:until|till)\s+(?P<sign>.+)$", re.IGNORECASE | re.DOTALL)
# "yolks beaten until thick, whites ..." is said of the yolks, not of the step.
_DONE_BEFORE = re.compile(r"\b\w+(?:en|ed)\s+$")
_FULL = re.compile(rf"(?:\babout\s+)?(?P<share>{_NUMBER}|half)\s+full\b(?:\s+of)?", re.IGNORECASE)
_SPEED = re.compile(
    rf"\b(?:(?:on|at|with)\s+(?:a\s+)?)?(?P<speed>{_SPEEDS})\s+speed\b"
    rf"|\bon\s+(?P<plain>{_SPEEDS})\b(?!\s+(?:heat|oven))|(?<=, )(?P<listed>{_SPEEDS})(?=\s*(?:,|$|[0-9]))",
    re.IGNORECASE,
)
_INCH = r"(?:\s?-?\s?(?:inch(?:es)?|in|cm|mm|lbs?|pounds?)\b\.?|[\"”″])"
_SIZE = rf"{_NUMBER}(?:{_INCH}?(?:\s?(?:x|×|by)\s?{_NUMBER}{_INCH}?){{1,2}}|{_INCH})"
_VESSELS = "|".join(sorted((word_set("vessels") - {"case", "cases", "cup", "cups"}), key=len, reverse=True))  # fmt: skip
#: A pan with its measure, before it or behind it.
_PAN = re.compile(
    rf"\b(?P<preposition>into|onto|in|on|to)\s+(?P<pan>(?:(?!(?:into|onto|on|for|at|until)\b)[^\W_]+[,-]?\s+){{0,6}}?{_SIZE}[ ,-]+(?:(?!(?:into|onto|on|for|at|until|and)\b)[^\W\d_]+[ -]){{0,3}}?(?:{_VESSELS})\b"
    rf"|(?:[^\W_]+[,-]?\s+){{0,6}}?(?:{_VESSELS}),?\s(?:about\s|measuring\s|of\s)?\(?{_SIZE}\)?)",
    re.IGNORECASE,
)
#: "Fill well-greased muffin pans about two-thirds full".
_FILLED = re.compile(rf"\s*(?:the |your )?(?P<pan>(?:[^\W\d_]+(?:-[^\W\d_]+)?,? ){{0,3}}?(?:{any_of('baking-tins')}))\b(?! with\b)", re.IGNORECASE)  # fmt: skip
_PREPOSITION = re.compile(r"\b(into|onto|in|on|to|with|over|using)\s+", re.IGNORECASE)
_PHRASE_ENDS = re.compile(
    r"[,;]|\b(?:into|onto|in|on|with|for|at|until|about|to|making|using|mixing(?! bowl)|and|or|over|by|then|if|when|of the mixture)\b",
    re.IGNORECASE,
)
_ARTICLE = re.compile(r"^(?:an?|the|your)\s+", re.IGNORECASE)
_MAKES = re.compile(r"[,;]?\s*\b(?:this makes|makes)\s+(?:the\s+)?(?P<part>[^,;.]+)", re.IGNORECASE)
_FIGURE = re.compile("[0-9]")
_ASIDE = re.compile(r"\(([^()]*)\)")
_MEASURED_IN = rf"{_TIME_UNIT}|full\b|inch(?:es)?\b|cm\b|pounds?\b|lb\b|by\b|(?:pan|tin|dish)\b"
#: A spoon of something is an amount and no tool.
_SPOON_OF = re.compile(r"\bspoon(?:ful)?s? of\b|(?:tea|table)spoon(?:ful)?s? of\b", re.IGNORECASE)
_DIPPED = re.compile(r"\bdipped\s*$", re.IGNORECASE)
_DIP = re.compile(r"\s*in(?: the| hot)? [^\W\d_]+", re.IGNORECASE)
_LONGEST_PHRASE = 80


class Fields:
    """What was taken out of a clause, by key of a step, and the text that is left."""

    def __init__(self, left: str) -> None:
        self.left = left
        self.found: dict[str, str] = {}
        self.asides: list[str] = []
        self.doubts: list[str] = []

    def take(self, key: str, value: str, span: tuple[int, int]) -> None:
        """Keep a value, the first of its key, and cut its words out of what is left."""
        if value and key not in self.found:
            self.found[key] = " ".join(value.split())
            self.left = f"{self.left[: span[0]]} {self.left[span[1] :]}"


def fields_of(
    do: str, rest: str, parts: frozenset[str] = frozenset(), scale: Scale = UNSAID
) -> Fields:
    """Everything but the verb and the ingredients; numbers are read in figures.

    ``parts`` are folded names; ``scale`` says what a temperature without one is."""
    rest = _HYPHEN.sub(r"\1 \2", rest) if "-" in rest else rest
    rest = _REGULO.sub("gas mark ", rest) if _FIGURE.search(rest) else rest
    fields = Fields(_hours(figures_before(plain_numbers(rest), _MEASURED_IN)))
    has_figures = _FIGURE.search(fields.left) is not None  # else there is no heat, time or size
    if has_figures:
        _heat(fields, do, scale)
    if "(" in fields.left:
        asides = _ASIDE.findall(fields.left)
        fields.asides += [aside.strip() for aside in asides if aside.strip()]
        fields.left = _ASIDE.sub(" ", fields.left)
    if has_figures:
        _heat(fields, do, scale)
    low = in_small(fields.left)
    if (
        "makes" in low
        and (made := _MAKES.search(fields.left))
        and " ".join(made["part"].lower().split()) in parts
    ):
        fields.take("makes", made["part"], made.span())
    if "til" in low:
        _until(fields)
    if any(speed in low for speed in word_set("speeds")) and (match := _SPEED.search(fields.left)):
        speed = match["speed"] or match["plain"] or match["listed"]
        fields.take("speed", speed.lower(), match.span())
    if has_figures:
        _time(fields)
        _bare_time(fields, do)
    if "full" in low and (match := _FULL.search(fields.left)):
        fields.take("fill", match["share"], match.span())
    if do.startswith("fill") and "fill" not in fields.found and (match := _SHARE.search(in_figures(fields.left))):  # fmt: skip
        fields.left = in_figures(fields.left)
        fields.take("fill", match["share"], match.span())
    if _FIGURE.search(fields.left):  # now of a share, too
        _pan(fields, do)
    _places(fields)
    if do == "fill" and not {"into", "on"} & fields.found.keys() and (match := _FILLED.match(fields.left)):  # fmt: skip
        fields.take("into", match["pan"], match.span())
    return fields


def _pan(fields: Fields, do: str) -> None:
    """The pan with its measure."""
    led = do.rsplit(" ", 1)[-1]
    if led in ("into", "in", "on") and " " in do and _PAN.match(f"{led} {fields.left.strip()}"):
        fields.left = f"{led} {fields.left.strip()}"
    if (match := _PAN.search(fields.left)) and len(match["pan"]) <= _LONGEST_PHRASE:
        on = match["preposition"].lower() in ("on", "onto")
        fields.take(
            "on" if on else "into", _ARTICLE.sub("", match["pan"].strip("() ")), match.span()
        )


#: "An hour and a quarter".
_QUARTERS = tuple(
    (re.compile(rf"\b(?:an|one|1) (hour|minute) and {said}\b", re.IGNORECASE), share)
    for said, share in (("(?:a )?(?:quarter|1/4)", "1/4"), ("(?:three[ -]quarters|3/4)", "3/4"))
)
_OR_TWO = re.compile(r"\b(?:an?|one|1) (hour|minute|day) or (?:two|2|so more)\b", re.IGNORECASE)
#: "About half an hour, no, say 22 to 25 minutes": the speaker takes the first back.
_BETTERED = re.compile(rf"\b(?:about )?{_RANGE}\s?{_TIME_UNIT}[,;.]? no,? (?:say |make it |more like )?(?={_RANGE}\s?{_TIME_UNIT})", re.IGNORECASE)  # fmt: skip
#: "1 hr 15 - 1 hr 30".
_HOURS_TO_HOURS = re.compile(r"\b([0-9]) ?h(?:ou)?rs? ([0-9]{2})(?: ?min\w*)? ?(?:-|–|to|or) ?([0-9]) ?h(?:ou)?rs? ([0-9]{2})(?: ?min\w*)?(?![0-9])", re.IGNORECASE)  # fmt: skip
#: "12 minutes for chewy, 15 for snap".
_FOR_EACH = re.compile(r"\b([0-9]{1,3}) ?min(?:ute)?s? for [a-z]{3,12},? (?:and |or )?([0-9]{1,3}) for\b", re.IGNORECASE)  # fmt: skip


#: "Ten minutes, fifteen", "an hour, hour and a half": the second is as long as it may take.
_OR_LONGER = re.compile(rf"\b({_NUMBER}) (minutes?|mins?|hours?|hrs?), (?:or |maybe )?(?:({_NUMBER})(?: (?:minutes?|mins?|hours?|hrs?))?|((?:hour|minute) and (?:a )?(?:half|1/2)))(?=$|[,;.]| while| till| until| if)", re.IGNORECASE)  # fmt: skip


def _or_longer(match: re.Match[str]) -> str:
    last = match[3] or "1 1/2"
    is_more = _value(last) > _value(match[1])
    return f"{match[1]}-{last} {match[2].removesuffix('s')}s" if is_more else match[0]


#: Something of what the times hold that are not in plain figures of one unit.
_TOLD_OTHERWISE = re.compile(r"h(?:ou)?r|[0-9] ?h\b|day|good|another|'| no|\b(?:an?|one|1) minute|min(?:ute)?s?(?:,| for)|minutes to", re.IGNORECASE)  # fmt: skip
_LIKE_ASCII = frozenset("İıſ′")  # what a pattern takes for it, and a sign of minutes


def _hours(text: str) -> str:
    """ "An hour and a half", "fifty minutes to an hour" in figures of one unit."""
    if not _TOLD_OTHERWISE.search(text) and _LIKE_ASCII.isdisjoint(text):
        return text
    text = re.sub(r"\b(?:an|one|1) (hour|minute) and (?:a )?(?:half|1/2)\b", r"1 1/2 \1s", text, flags=re.IGNORECASE)  # fmt: skip
    for quarters, share in _QUARTERS:
        text = quarters.sub(rf"1 {share} \1s", text)
    text = _OR_TWO.sub(r"1-2 \1s", text)
    text = re.sub(r"\ba good (?=hour|half|quarter)", "an ", text, flags=re.IGNORECASE)
    text = re.sub(r"\b(?:an|another) (hour)\b", r"1 \1", text, flags=re.IGNORECASE)
    text = _HOURS_TO_HOURS.sub(lambda m: f"{60 * int(m[1]) + int(m[2])}-{60 * int(m[3]) + int(m[4])} minutes", text)  # fmt: skip
    text = _BETTERED.sub("", text)
    text = _FOR_EACH.sub(r"\1-\2 minutes for", text)
    text = re.sub(r"(?<![0-9.])([0-9]{1,3}) ?['′](?=[\s,.;)]|$)", r"\1 min", text)
    text = re.sub(r"\ba (minute)\b(?! (?:or|and))", r"1 \1", text, flags=re.IGNORECASE)
    text = _HOUR_AND.sub(_to_minutes, text)
    text = _OR_LONGER.sub(_or_longer, text)
    text = re.sub(
        r"\b([0-9]+ hours?) ([0-9]{1,2})\b(?!\s?(?:min|h|°|g\b|x|-|to))", r"\1 \2 minutes", text
    )
    text = re.sub(r"\b([0-9]+) minutes to ([a-z-]+|[0-9]+)\b(?! ?(?:min|hour|°))", _to_more, text)
    text = re.sub(r"\bfor another ([a-z]+|[0-9]+)(?=$|[,.]| or so)", _another, text)
    text = re.sub(r"\b(1/2|3/4|1/4) of 1 hour\b", r"\1 hour", text)
    return _TO_AN_HOUR.sub(lambda m: f"{m[1]}-{round(60 * _value(m[2]))} minutes", text)


def _to_minutes(match: re.Match[str]) -> str:
    more = in_figures(match[1])
    return f"60-{60 + int(more)} minutes" if more.isdecimal() else match[0]


def _another(match: re.Match[str]) -> str:
    """ "For another thirty": minutes, in a bake that told minutes before."""
    more = in_figures(match[1])
    return f"for {more} minutes" if more.isdecimal() else match[0]


def _to_more(match: re.Match[str]) -> str:
    """ "Fifty minutes to fifty-five"."""
    more = in_figures(match[2])
    return f"{match[1]}-{more} minutes" if more.isdecimal() else match[0]


def _value(number: str) -> float:
    return sum(float(Fraction(piece)) for piece in number.split())


def pan_in(text: str) -> str:
    """The pan with its measure that a text names, as in "grease a deep 20 cm round tin"."""
    plain = figures_before(plain_numbers(_HYPHEN.sub(r"\1 \2", text)), _MEASURED_IN)
    match = _PAN.search(f"in {plain}")
    pan = (
        re.sub(r"^(?:it |them )?(?:in|into|on|onto) ", "", match["pan"].strip("() "))
        if match
        else ""
    )
    return _ARTICLE.sub("", pan)


def stages_of(left: str) -> list[tuple[tuple[str, str], ...]]:
    """What follows a time with another: "low 30 s, medium 1 min" goes on as speed medium, 1 min."""
    found = []
    for match in _STAGE.finditer(left):
        time = _spelled_time(match["time"] or f"{match['bare']} min")  # "5 min slow, 6 fast"
        said = match["speed"] or match["after"]
        speed = (("speed", said.lower()),) if said else ()
        if _reads(parse_duration, time):
            found.append((*speed, ("for", time)))
    return found


def without_stages(left: str) -> str:
    """The text of a clause without the times of its later stages."""
    return _STAGE.sub(" ", left)


def says_more(left: str) -> bool:
    """Whether a time or a temperature is still in what is left of a clause."""
    return _FIGURE.search(left) is not None and bool(_TIME.search(left) or any(heats(left)))


def _heat(fields: Fields, do: str, scale: Scale) -> None:
    """The first temperature as `to`, `at` or `core`, and a core temperature behind it."""
    for _ in range(2):
        heat = heat_in(fields.left, do, scale)
        if heat is None or heat.key in fields.found:
            return
        fields.take(heat.key, heat.text, heat.span)
        fields.asides += [heat.aside] if heat.aside else []
        fields.doubts += [heat.doubt] if heat.doubt else []


def _until(fields: Fields) -> None:
    match = _UNTIL.search(fields.left)
    if match and not ("," in match["sign"] and _DONE_BEFORE.search(fields.left[: match.start()])):
        sign = match["sign"]
        if timed := _TIME_BEHIND.search(sign):  # "until doubled, about 1 hour"
            sign = sign[: timed.start()]
        span = (match.start(), match.start("sign") + len(sign))
        fields.take("until", sign.strip(" ,;"), span)


def _time(fields: Fields) -> None:
    left = fields.left
    match = next((m for m in _TIME.finditer(left) if not _AFTER.search(left[: m.start()])), None)
    if not match:
        return
    ends = match.end()
    pieces = [match["first"], match["second"] or ""]
    if pieces[1] and _unit_of_time(pieces[0]) == _unit_of_time(pieces[1]):
        pieces, ends = pieces[:1], match.end("first")  # "3 min, 6 min fast" are two stages
    said = " ".join(_spelled_time(piece) for piece in pieces if piece)
    hedge = match["hedge"] or ""
    if _reads(parse_duration, said):
        fields.take(
            "for",
            f"{hedge}{said}" if _reads(parse_duration, f"{hedge}{said}") else said,
            (match.start(), ends),
        )


def _bare_time(fields: Fields, do: str) -> None:
    """ "Rest 20", "bake another 8": minutes, though nothing says so."""
    if "for" in fields.found or not (bakes(do) or do.split(" ")[0] in WAITS):
        return
    if (match := _BARE.search(fields.left)) and int(match["first"]) >= LEAST_BARE:
        fields.take("for", f"{match['time'].replace(' ', '')} min", match.span())
        fields.doubts.append("no unit of time is said; taken as minutes, check it")


def _unit_of_time(text: str) -> str:
    """The first letter of the unit: of hours, minutes, seconds, days."""
    match = _ONE_TIME.match(text)
    return match["unit"][0].lower() if match else ""


def _spelled_time(text: str) -> str:
    """`12 to 15 minutes` as `12-15 min`."""
    match = _ONE_TIME.match(text)
    assert match  # it is a piece of a longer match
    ends = re.sub(r"\s?(?:–|\bto\b|\bor\b)\s?", "-", match["number"])
    return f"{ends} {_SHORT_UNITS[match['unit'][0].lower()]}"


def _reads(parse: Callable[[str], object], text: str) -> bool:
    try:
        parse(text)
    except AmountProblem:
        return False
    return True


def _places(fields: Fields) -> None:
    """Phrases behind a preposition that end in a pan, a board, a tool."""
    at = 0
    while match := _PREPOSITION.search(fields.left, at):
        end = _PHRASE_ENDS.search(fields.left, match.end())
        stop = end.start() if end else len(fields.left)
        if match[1].lower() not in ("with", "using") and (ends := _end_of_vessel(fields.left[match.end() : stop])):  # fmt: skip
            stop = match.end() + ends
        if _DIPPED.search(fields.left[match.end() : stop]) and (
            dip := _DIP.match(fields.left, stop)
        ):
            stop = dip.end()  # the flour on a cutter goes into no dough
        phrase = _ARTICLE.sub("", fields.left[match.end() : stop].strip(" ."))
        key = _place_key(match[1].lower(), phrase)
        if key and phrase and len(phrase) <= _LONGEST_PHRASE and key not in fields.found:
            fields.take(key, phrase, (match.start(), stop))
            at = match.start()
        else:
            at = match.end()


def _end_of_vessel(phrase: str) -> int:
    """Behind the last pan, board or bowl of a phrase; 0 where there is none."""
    found = [m.end() for m in WORD.finditer(phrase) if m[0].lower() in word_set("vessels")]
    return found[-1] if found else 0


def _place_key(preposition: str, phrase: str) -> str:
    words = {word.lower() for word in WORD.findall(phrase)}
    if preposition in ("with", "using"):
        if _SPOON_OF.search(phrase):
            return ""
        return "with" if words & word_set("tools") else ""
    if not words & word_set("vessels"):
        return ""
    return "on" if preposition in ("on", "onto", "over") else "into"

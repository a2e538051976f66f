"""Amounts as people write them, respelled as formulas spell them: "a dozen", "2 (8-oz) cans", "1 cup + 2 tbsp"."""

import re

from perflour.kitchen.filling import WORDS
from perflour.kitchen.numbers import NUMBER, AmountProblem, mixed, number_of
from perflour.kitchen.numerals import leading_figures
from perflour.kitchen.quantity import Amount, Customs, parse_amount

#: Nobody writes a longer amount; a longer text is none.
MOST_SIGNS = 120
#: How far two amounts side by side may be apart: print rounds 2 oz to 50 g.
MOST_APART = 0.2
#: Words before an amount that say it is not meant to the gram.
ABOUT = re.compile(
    r"(?:about|approximately|approx\.?|circa|ca\.?|around|roughly|nearly|[~≈])\s*", re.IGNORECASE
)
_ALONE = re.compile(r"(?:an?\s+)?(pinch|dash|smidgen)", re.IGNORECASE)
_FILLED = "|".join(sorted(WORDS, key=len, reverse=True))
_CONTAINER = r"(?:cans?|tins?|jars?|packets?|packages?|pkgs?\.?|sachets?|envelopes?|bags?|boxe?s?)"
_PART = r"(?:(?:an?|one|three)[ -])?(?:half|thirds?|quarters?|fourths?|eighths?)\b"
_AND_A_PART = re.compile(rf"\b([0-9]+) and ({_PART})", re.IGNORECASE)
# "a cup and a half", "1 cup and a quarter"
_UNIT_AND_A_PART = re.compile(
    rf"\b(an?|one|[0-9]+) ([a-z]+) and ({_PART})(?! ?[a-z])", re.IGNORECASE
)
# "1 pint (UK)", "1 cup (metric)"
_WHOSE_BEHIND = re.compile(
    r"\b(cups?|pints?|quarts?|gallons?|gills?|tbsp|tablespoons?|tsp|teaspoons?|fl\.? oz) ?[(\[](US|UK|AU|imp\.?|imperial|metric|Australian|British)[)\]]",
    re.IGNORECASE,
)
# "100 g-150 g", "100 g to 150 g"
_SAME_UNIT_TWICE = re.compile(
    rf"({NUMBER}) ?([a-z]+)\.? ?(?:-|–|—|\bto\b) ?({NUMBER}) ?(\2\b)", re.IGNORECASE
)
_MIXED = re.compile(r"\b([0-9]+)\s*(?:&|\+|and)\s*([0-9]+/[0-9]+)", re.IGNORECASE)
_TIMES = re.compile(rf"({NUMBER})\s*[x×*]\s*(?=[0-9])", re.IGNORECASE)
_BETWEEN = re.compile(rf"between\s+({NUMBER})\s+and\s+(?={NUMBER})", re.IGNORECASE)
_ONE_OF_CONTENT = re.compile(
    rf"([0-9]+)\s*\(?\s*({NUMBER})[ -]?([a-z.]+(?: oz)?)\s*\)?\s*({_CONTAINER})", re.IGNORECASE
)
_CONTENT_BEHIND = re.compile(rf"({NUMBER}\s+{_CONTAINER})\s*\((.+)\)", re.IGNORECASE)
_BRACKET = re.compile(r"(.+?)\s*[(\[]([^()\[\]]+)[)\]]")
_EITHER = re.compile(r"(.+?)(?:(?<=[A-Za-z.)])\s*[/=]|\s+or\b)\s*(?=[0-9])(.+)", re.IGNORECASE)
_JOINED = re.compile(
    rf"\s*(?:(?P<less>\b(?:less|minus)\b)|\+|&|,|\bplus\b|\band\b(?!\s+{_PART}))\s*(?=[0-9]|an?\s|one\s|half\s)",
    re.IGNORECASE,
)
_BEHIND = re.compile(rf"({NUMBER})\s+([^\s,]+(?: oz)?),?\s+((?:(?:{_FILLED})\s*)+)", re.IGNORECASE)
_IN_FRONT = re.compile(rf"(?:an?\s+)?((?:(?:{_FILLED})\s+)+)(.+)", re.IGNORECASE)
_DOZEN = re.compile(rf"({NUMBER})\s+dozens?\b", re.IGNORECASE)


def respelled(text: str, customs: Customs) -> str:
    """A text in the spelling of formulas; empty for what is no amount. Raises AmountProblem for a contradiction."""
    if len(text) > MOST_SIGNS:
        return ""
    plain = _spaced(ABOUT.sub("", text, count=1) if ABOUT.match(text) else text)
    if match := _ALONE.fullmatch(plain):
        return f"1 {match[1].lower()}"
    return _contained(plain) or _side_by_side(plain, customs) or _pieces(plain)


def _spaced(text: str) -> str:
    """Numbers and words apart, mixed numbers and ranges as formulas have them."""
    text = _MIXED.sub(r"\1 \2", whose_in_front(text))
    text = _SAME_UNIT_TWICE.sub(r"\1-\3 \2", text)
    text = _AND_A_PART.sub(lambda m: f"{m[1]} {leading_figures(m[2])}", text)
    text = _UNIT_AND_A_PART.sub(
        lambda m: f"{m[1] if m[1].isdigit() else 1} {leading_figures(m[3])} {m[2]}", text
    )
    text = _BETWEEN.sub(r"\1-", text)
    text = re.sub(r"(?<=[0-9])-(?=[A-Za-z])", " ", text)
    text = re.sub(r"(?<=[0-9])(?=[A-Za-z])", " ", text)
    return " ".join(re.sub(r"(?<=[A-Za-z.])(?=[0-9])(?<![0-9]\.)", " ", text).split())


def whose_in_front(text: str) -> str:
    """ "1 pint (UK)" as "1 UK pint"."""
    return _WHOSE_BEHIND.sub(r"\2 \1", text) if "(" in text or "[" in text else text


def _contained(text: str) -> str:
    """`2 can 8 oz` of "2 8-oz cans", "2 (8 oz) cans", "2 cans (8 oz each)", "2 x 400 g cans"."""
    text = _TIMES.sub(r"\1 ", text, count=1) if _ends_in_container(text) else text
    if match := _ONE_OF_CONTENT.fullmatch(text):
        if number_of(match[2]) < 1:
            return ""  # "1 1/2 oz can": one can of half an ounce, or a can of one and a half
        return f"{match[1]} {match[4]} {match[2]} {match[3]}"
    if match := _CONTENT_BEHIND.fullmatch(text):
        inside = re.sub(r"\s*\b(?:each|in all)$", "", match[2].strip(), flags=re.IGNORECASE)
        return f"{match[1]} {re.sub(r',? *drained:? *', ' drained ', inside)}"
    if re.fullmatch(rf"{NUMBER}\s+{_CONTAINER}\s.+", text, re.IGNORECASE):
        return re.sub(r",\s*drained", " drained", re.sub(r"\s+each$", "", text))
    return ""


def _ends_in_container(text: str) -> bool:
    return re.search(rf"\b{_CONTAINER}$", text, re.IGNORECASE) is not None


def _side_by_side(text: str, customs: Customs) -> str:
    """The surer of an amount and the same amount in brackets or behind a stroke: a mass, else the first."""
    match = _BRACKET.fullmatch(text) or _EITHER.fullmatch(text)
    if match is None:
        return ""
    try:
        first, second = (parse_amount(piece.strip(), customs) for piece in match.groups())
    except AmountProblem:
        return ""
    if _apart(first, second) > MOST_APART:
        raise AmountProblem(
            "unreadable", f"'{text}' says two amounts that are not the same; write one"
        )
    surer = second if second.kinds == {"mass"} and first.kinds <= {"volume", "pinch"} else first
    if _metric(second) and first.kinds == second.kinds == {"volume"}:
        surer = second  # the ml say which cup is meant
    from perflour.kitchen.spelling import spelled

    return spelled(surer)


def _metric(amount: Amount) -> bool:
    return {term.unit.name for term in amount.terms} <= {"ml", "cl", "dl", "l"}


def _apart(first: Amount, second: Amount) -> float:
    """How far two masses or two volumes are from each other, as a share; 0 for others."""
    if first.kinds != second.kinds or not first.kinds <= {"mass", "volume"}:
        return 0.0
    a, b = first.in_base_units, second.in_base_units
    return abs(a / b - 1) if a and b else 0.0


def _pieces(text: str) -> str:
    """Terms that add up, each respelled; "less" takes the one behind it away."""
    said, at = "", 0
    for match in _JOINED.finditer(text):
        said += f"{_piece(text[at : match.start()])} {'less' if match['less'] else 'plus'} "
        at = match.end()
    return said + _piece(text[at:])


def _piece(text: str) -> str:
    """One number with its unit: number words, dozens, how it is filled, whose eggs."""
    text = text.strip().rstrip(",;")
    if match := _IN_FRONT.fullmatch(text):
        text = f"{match[2]} {match[1]}" if match[2][:1].isdigit() else f"1 {match[1]}{match[2]}"
    text = leading_figures(text)
    if match := _TIMES.match(text):
        text = _multiplied(match[1], text[match.end() :])
    if match := _DOZEN.match(text):
        text = f"{mixed(number_of(match[1]) * 12)}{text[match.end() :]}"
    if match := _BEHIND.fullmatch(text):
        text = f"{match[1]} {match[3].strip()} {match[2]}"
    text = re.sub(r"\s+(?:of|in all)$", "", text)
    return re.sub(r"\s*\beggs?$", "", text, flags=re.IGNORECASE)


def _multiplied(times: str, rest: str) -> str:
    number = re.match(NUMBER, rest)
    if number is None:
        return rest
    return f"{mixed(number_of(times) * number_of(number[0]))} {rest[number.end() :].strip()}"

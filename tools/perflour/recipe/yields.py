"""How much a recipe makes, from the line that says so."""

from __future__ import annotations

import re
from typing import NamedTuple

from perflour.kitchen.numbers import plain_numbers
from perflour.kitchen.numerals import in_figures
from perflour.recipe.amounts import second_measure
from perflour.recipe.method.mentions import stem
from perflour.recipe.words import word_set

_YIELDS = re.compile(
    r"(?P<verb>[a-z ]*?\b(?:makes|yields?|serves?|cuts|servings|portions|for|batch|target))?\s*:?\s*(?:about\s+|approximately\s+)?"
    r"(?P<number>[0-9]{1,6})(?P<more>\s*(?:-|–|to|or)\s*[0-9]+|[.,/ ][0-9]+)?\s*(?P<piece>[^0-9]*?)"
    r"(?:\s+(?:of|each|at|@|x|×)\s+(?P<weight>[0-9].*))?\.?",
    re.IGNORECASE,
)
MOST_PIECES = 100_000
#: A longer line is not looked through for a yield in its midst.
MOST_SIGNS = 300
_PIECES = r"[0-9]+\s?(?:pcs?|pieces|doz(?:en)?)\.?(?=\s*(?:$|[,;()@]|at\b|sell\b|of [0-9]))"
_BATCH = r"batch(?: size)?(?:\s*:|(?=\s+[0-9]))"
# "Target 30 x 850 g"; without the word only where no more is said
_SCALED = r"(?:target\s*:?\s*(?=[0-9])|[0-9]+ [x×@] [0-9.]+ ?k?g$)"
_OPENS = re.compile(
    r"\(?(?:(?:this (?:recipe )?)?(?:makes|yields?|serves|servings|sufficient (?:to serve|for)|enough for|portions)\b"
    rf"|{_BATCH}|{_PIECES}|{_SCALED})",
    re.IGNORECASE,
)
#: "sheet pan 18 x 26 x 1 in makes 50 squares (10 x 5)"
_INSIDE = re.compile(
    rf"(?:(?P<before>.*?)[\s,;.(]+)??(?P<said>(?:(?:makes|yields?|serves|cuts)\b|{_BATCH})\s*[^,.;(]++|{_PIECES}[^,.;(]*+)(?![.,][0-9])(?P<after>.*)",
    re.IGNORECASE,
)
#: Enough for so many people, and not so many pieces.
_FOR_PEOPLE = re.compile(r"(?:enough|sufficient)\b", re.IGNORECASE)
#: Names of a piece that say no more than that it is one.
_ANY_PIECE = frozenset(("pc", "pcs", "piece", "pieces"))


#: What a dozen is sold for is no yield.
_PRICE = re.compile(r"\s*\b(?:sell|sold|price|at)\b\s*[@:]?\s*(?:for\s)?[0-9.]+ ?(?:c|p|cents?|pence)\b.*", re.IGNORECASE)  # fmt: skip
#: A piece is scaled by its mass.
_MASS = re.compile(r" (?:g|kg|oz|lb)$")


class YieldRead(NamedTuple):
    """Pieces of a batch, what one is called, and its scaling weight where that is said."""

    pieces: int
    piece: str
    scaling_weight: str = ""


def read_yield(text: str, piece: str) -> YieldRead | None:
    """The yield in "Makes 5 dozen", "Serves 6", "Yield: 2 loaves of 640 g"; None where it is not one number.

    ``piece`` is what a piece is called where the line does not say.
    """
    written = re.sub(r"\bdoz\b\.?", "dozen", _PRICE.sub("", text), flags=re.IGNORECASE)
    match = _YIELDS.fullmatch(in_figures(plain_numbers(written)).strip())
    if match is None or match["more"] or not 0 < int(match["number"]) <= MOST_PIECES:
        return None
    words = match["piece"].strip(" .,;()").split()
    if len(words) > 4:
        return None
    verb = (match["verb"] or "").strip().lower()
    default = "serving" if verb.endswith(("serve", "serves", "servings")) else piece
    default = "piece" if verb.endswith("cuts") else default
    if words and words[-1].lower() in (
        "person",
        "persons",
        "people",
        "servings",
        "helpings",
        "portions",
    ):
        words, default = [], "serving"
    words = [word for word in words if word.lower() not in _ANY_PIECE]
    name = " ".join([*words[:-1], singular(words[-1])]) if words else default
    weight = second_measure(match["weight"].strip(". ")) if match["weight"] else ""
    if match["weight"] and not (weight and _MASS.search(weight)):
        return None
    return YieldRead(int(match["number"]), name.lower(), weight)


def opens_yield(text: str) -> bool:
    """Whether a line opens like one that tells the yield."""
    return bool(_OPENS.match(text))


class YieldSaid(NamedTuple):
    """The words of a line that tell the yield, and what stands around them."""

    said: str
    others: tuple[str, ...]


def yield_of(line: str) -> YieldSaid | None:
    """The yield in a line that says more: "Makes 16, tray bake off at 220"; None for one without."""
    if opens_yield(line) and read_yield(line.strip("()"), "piece"):
        return YieldSaid(line.strip("()"), ())
    match = _INSIDE.fullmatch(line) if len(line) <= MOST_SIGNS else None
    if match is None or not read_yield(match["said"].strip(), "piece"):
        return YieldSaid(line.strip("()"), ()) if opens_yield(line) else None
    around = (text.strip(" ,;.") for text in (match["before"] or "", match["after"].lstrip(")")))
    return YieldSaid(match["said"].strip(), tuple(text for text in around if text))


#: A sentence of nothing but pieces: "Nine big squares."
_LONE = re.compile(
    rf"(?:from this(?: quantity)?,? )?(?P<number>[0-9]+)(?: (?:good|nice|big|large|small))? (?P<piece>(?:{'|'.join(sorted(word_set('pieces')))})(?:e?s)?)(?:,.*)?\.?",
    re.IGNORECASE,
)
_CUTS = "|".join(sorted(word_set("verbs-of-portioning")))
_NUMBER = r"(?:[0-9]|a |an? |half a |dozen|couple|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fif|thir|for|twen|eigh|some)"
_IN_TEXT = re.compile(
    rf"\b(?P<verb>cuts? into|(?:{_CUTS}) (?:it |them |this |the [^\W\d_]+ )?(?:up )?(?:in|into)|cuts|makes?|yields?|serves?|feeds?|gives?|(?:you(?:'ll|’ll| will| should| ought to)? |should |will )(?:get|have|manage)|there (?:will|should|ought to) be|should do|enough for|sufficient for|fills|for)\s+(?P<rest>(?:about |around |up to |roughly |some )?{_NUMBER}[^.;!?]*)",
    re.IGNORECASE,
)
#: Verbs that tell a yield only with what a piece is called, or at the end of a sentence.
_LOOSE = re.compile(r".*(?:get|have|manage|be|gives?|fills)")
#: "Sixteen, no, fifteen": what is said last is meant.
_CORRECTED = re.compile(
    r"\b[^\W_]+,? (?:no|or rather|I mean),? (?=(?:[0-9]+|[a-z]+)\b)", re.IGNORECASE
)
_INTO_PIECES = re.compile(
    rf"\binto (?:[a-z]+ )?(?P<piece>(?:{'|'.join(sorted(word_set('pieces')))})(?:e?s)?)\b",
    re.IGNORECASE,
)
_PEOPLE = re.compile(r"\b(?:people|persons?|guests)\b", re.IGNORECASE)
_HEDGES = re.compile(r"\b(?:about|around|up to|some|good|nice|big|large|small|of them) ", re.IGNORECASE)  # fmt: skip
_ENDS = re.compile(
    r"\s*(?:,| out of | of (?:the )?[^\W_]+ (?:cases|cups|moulds|molds|holes)\b| or | in an? | in the | depending| if | when | of about | at | \(| each| and | from |—| - | for ).*"
)


#: "Pinch off twenty balls", "roll out 12 small stars": pieces that are made.
_MADE = re.compile(
    rf"\b(?:{'|'.join(sorted(word_set('verbs-of-making-pieces')))})(?: off| out| up)? (?:into )?(?P<number>[0-9]+) (?:even |equal |neat |small |large |good )?(?P<piece>(?:{'|'.join(sorted(word_set('pieces')))})(?:e?s)?)\b",
    re.IGNORECASE,
)
#: What a piece is called while it is shaped, whatever it becomes.
_WHILE_SHAPED = re.compile(r"(?:ball|round|piece)s?", re.IGNORECASE)


def yield_in(sentence: str) -> str:
    """The words of a sentence that tell a yield: "makes 24 squares" in "this makes 24 squares in all"."""
    if lone := _LONE.fullmatch(in_figures(plain_numbers(sentence)).strip()):
        return f"makes {lone['number']} {lone['piece']}"
    whole = sentence.strip(" .()")
    if opens_yield(whole) and not _FOR_PEOPLE.match(whole) and read_yield(whole, "piece"):
        return whole
    sentence = re.sub(r"\ba couple of dozen\b", "24", sentence, flags=re.IGNORECASE)
    sentence = _CORRECTED.sub("", sentence)
    for match in _IN_TEXT.finditer(sentence):
        verb = match["verb"].lower()
        rest = _ENDS.sub("", match["rest"])
        rest = _HEDGES.sub("", rest)
        called = [word for word in re.findall(r"[a-z]+", rest.lower()) if singular(word) in word_set("pieces")]  # fmt: skip
        if verb == "for" and not _PEOPLE.search(rest):
            continue
        if called and _WHILE_SHAPED.fullmatch(called[-1]) and len(in_figures(rest).split()) == 2:
            rest = rest.rsplit(" ", 1)[0]  # ten balls become what the title says
        if _LOOSE.fullmatch(verb) and not called and len(in_figures(rest).split()) > 1:
            continue
        into = _INTO_PIECES.search(sentence) if not called else None
        is_shaped = into is not None and bool(_WHILE_SHAPED.fullmatch(into["piece"]))
        if into and not is_shaped:
            rest = f"{rest} {into['piece']}"
        serves = verb.startswith(("serve", "feed", "enough", "sufficient", "for"))
        said = f"{'serves' if serves else 'makes'} {rest}"
        if (
            verb.startswith(("cut", "slice"))
            and not is_shaped
            and in_figures(rest).strip().isdecimal()
        ):
            said = f"{said} slices"
        if read_yield(said, "piece"):
            return said
    if made := _MADE.search(in_figures(plain_numbers(sentence))):
        piece = "" if _WHILE_SHAPED.fullmatch(made["piece"]) else f" {made['piece']}"
        return f"makes {made['number']}{piece}"
    return ""


def singular(word: str) -> str:
    """One of them: loaves, cookies, biscuits."""
    lower = word.lower()
    if lower.endswith("loaves"):
        return f"{lower[:-3]}f"
    if lower.endswith(("cookies", "brownies", "pies")):
        return lower[:-1]
    return stem(lower)

"""The price list of a house: packs, what they cost, and what-if changes of either."""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.result import CannotRun, FileProblem, Place, Result, request_field
from perflour.system.files import read_bytes
from perflour.system.paths import display_path
from perflour.tuples import NamedTuple

_PACK = re.compile(r"([0-9]{1,9}(?:\.[0-9]{1,4})?) for (\S.*)")
_PERCENT = re.compile(r"([+-]?)\s*([0-9]{1,6}(?:\.[0-9]{1,4})?) ?%")


class Pack(NamedTuple):
    """One pack. ``grams`` is what of it can be used, exactly; ``pieces`` where it is counted."""

    size: str
    price: Fraction
    grams: Fraction
    pieces: Fraction | None = None
    unit: str = ""

    @property
    def per_gram(self) -> Fraction:
        return self.price / self.grams


class Price(NamedTuple):
    """An ingredient's packs; the first is the one a batch is costed with."""

    item: str
    packs: tuple[Pack, ...]
    usable: Fraction = Fraction(1)
    note: str = ""

    @property
    def usual(self) -> Pack:
        return self.packs[0]


class PriceList(NamedTuple):
    """Prices by main name; ``results`` say what in the file is wrong, and then it is not used."""

    path: str
    currency: str
    date: str
    prices: Mapping[str, Price] = MappingProxyType({})
    results: tuple[Result, ...] = ()

    def find(self, item: str) -> Price | None:
        """The price of an ingredient by its main name."""
        return self.prices.get(fold(item))


def read_price_list(path: str, catalogue: Catalogue) -> PriceList:
    """The price list of a file. Raises CannotRun where it cannot be read at all."""
    return price_list(read_bytes(path), display_path(path), catalogue)


def price_list(content: bytes, path: str, catalogue: Catalogue) -> PriceList:
    """The price list in a file's bytes; with ``results`` where something in it is wrong."""
    try:
        document = read_document(content, path)
    except FileProblem as problem:
        return PriceList(path, "", "", results=(problem.result(),))
    if results := check_schema(document, "prices"):
        return PriceList(path, "", "", results=results)
    data = document.data
    prices, results = _prices(document, catalogue)
    return PriceList(path, data["currency"], data["date"], prices, results)


def _prices(
    document: Document, catalogue: Catalogue
) -> tuple[dict[str, Price], tuple[Result, ...]]:
    prices: dict[str, Price] = {}
    results: list[Result] = []
    for at, entry in enumerate(document.data["prices"]):
        name = main_name(entry["item"], catalogue)
        if name in prices:
            message = f"'{entry['item']}' has a price already; keep one entry with all its packs"
            place = document.place("prices", at, "item")
            results.append(Result("not-as-schema", "error", message, place))
            continue
        try:
            usable = _usable(entry.get("usable", "100 %"))
        except AmountProblem as problem:
            results.append(_wrong(problem.message, document.place("prices", at, "usable")))
            continue
        packs: list[Pack] = []
        for number, text in enumerate(entry["packs"]):
            try:
                packs.append(read_pack(text, entry["item"], catalogue, usable))
            except AmountProblem as problem:
                place = document.place("prices", at, "packs", number)
                results.append(_wrong(problem.message, place))
        if packs:
            prices[name] = Price(entry["item"], tuple(packs), usable, entry.get("note", ""))
    return prices, tuple(results)


def _wrong(message: str, place: Place) -> Result:
    return Result("unreadable-amount", "error", message, place)


def main_name(item: str, catalogue: Catalogue) -> str:
    """A name as prices are kept: the catalogue's main name where it is known."""
    return catalogue.main_name(item)


def _usable(text: str) -> Fraction:
    share = Fraction(text.rstrip("% ")) / 100
    if not 0 < share <= 1:
        raise AmountProblem(
            "unreadable", f"'{text}' can be no usable share; write one above 0 and up to 100 %"
        )
    return share


def read_pack(text: str, item: str, catalogue: Catalogue, usable: Fraction) -> Pack:
    """``2.45 for 250 g`` as a pack; a weighed pack loses what is not usable.

    Raises AmountProblem for text that is no pack, or a size that cannot be weighed.
    """
    match = _PACK.fullmatch(" ".join(text.split()))
    if not match:
        raise AmountProblem(
            "unreadable", f"'{text}' is no price of a pack; write it like `2.45 for 250 g`"
        )
    amount = parse_amount(match[2])
    mass = weigh(amount, catalogue.find(item), "")
    if not isinstance(mass, Mass):
        raise AmountProblem("unreadable", f"'{match[2]}' of {item}: {mass.reason}")
    counted = amount.kinds == {"count"} and len(amount.terms) == 1
    # a volume or count comes from the catalogue without shell and peel; only masses lose them
    share = usable if amount.kinds == {"mass"} else Fraction(1)
    return Pack(
        match[2],
        Fraction(match[1]),
        Fraction(str(mass.grams)) * share,
        amount.terms[0].mean if counted else None,
        amount.terms[0].unit.name if counted else "",
    )


def what_if(prices: PriceList, changes: Sequence[str], catalogue: Catalogue) -> PriceList:
    """The list with changes such as ``butter=+15 %`` or ``butter=2.80 for 200 g``.

    A percentage moves every pack of the item; a pack takes the place of all of them. Raises
    CannotRun for a change that cannot be read and, for a percentage, an item without a price.
    """
    changed = dict(prices.prices)
    for text in changes:
        item, equals, to = (piece.strip() for piece in text.partition("="))
        if not equals or not item or not to:
            raise CannotRun(
                f"{request_field('what_if')} '{text}' is not ITEM=CHANGE; write it like `butter=+15 %` or `butter=2.80 for 200 g`"
            )
        name = main_name(item, catalogue)
        known = changed.get(name)
        if percent := _PERCENT.fullmatch(to):
            changed[name] = _moved(text, known, percent, prices.path)
            continue
        try:
            pack = read_pack(to, item, catalogue, known.usable if known else Fraction(1))
        except AmountProblem as problem:
            raise CannotRun(f"{request_field('what_if')} {item}: {problem.message}") from None
        changed[name] = (known or Price(item, ()))._replace(packs=(pack,))
    return prices._replace(prices=changed)


def _moved(text: str, known: Price | None, percent: re.Match[str], path: str) -> Price:
    if known is None:
        raise CannotRun(
            f"{request_field('what_if')} '{text}': {path} has no price for it; add one, or name a pack"
        )
    sign, number = percent.groups()
    if not sign:
        raise CannotRun(
            f"{request_field('what_if')} '{text}' may mean two things; write + or - before the {number}"
        )
    factor = 1 + Fraction(f"{sign}{number}") / 100
    if factor < 0:
        raise CannotRun(
            f"{request_field('what_if')} '{text}' makes the price negative; write -100 % at most"
        )
    return known._replace(packs=tuple(p._replace(price=p.price * factor) for p in known.packs))

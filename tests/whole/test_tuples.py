"""Our named tuples against typing's own, which is the witness: the same instances, refusals and copies."""

from __future__ import annotations

import copy
import pickle
import typing
from collections.abc import Callable
from typing import Any

import pytest

from perflour import tuples
from perflour.result import Place


class Typed(typing.NamedTuple):
    name: str
    grams: float = 1.0
    of: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        return f"{self.grams:g} g {self.name}"


class Ours(tuples.NamedTuple):
    name: str
    grams: float = 1.0
    of: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        return f"{self.grams:g} g {self.name}"


ASKED: dict[str, Callable[[Any], Any]] = {
    "made": lambda of: tuple(of("salt", 2.0)),
    "by names": lambda of: tuple(of(grams=3, name="salt")),
    "fields": lambda of: (of._fields, of.__match_args__, typing.get_type_hints(of)),
    "words": lambda of: repr(of("salt")).replace("Typed", "Ours"),
    "said": lambda of: of("salt").said,
    "other": lambda of: tuple(of("salt")._replace(grams=5)),
    "as mapping": lambda of: of("salt")._asdict(),
    "of a row": lambda of: tuple(of._make(("salt", 2.0, ("x",)))),
    "equal and hashed": lambda of: (of("a") == ("a", 1.0, ()), hash(of("a")) == hash(("a", 1.0, ()))),
    "copied": lambda of: [type(c(of("salt"))) is of and c(of("salt")) == of("salt") for c in (copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one)))],
    "at once": lambda of: tuples.of_fields(of, ("salt", 2.0, ())) == of("salt", 2.0),
}  # fmt: skip


@pytest.mark.parametrize("what", ASKED)
def test_it_answers_as_that_of_typing(what: str) -> None:
    assert ASKED[what](Ours) == ASKED[what](Typed)


REFUSED: dict[str, Callable[[Any], Any]] = {
    "too few": lambda of: of(),
    "too many": lambda of: of(1, 2, 3, 4),
    "an unknown name": lambda of: of("salt", mass=1),
    "another of an unknown name": lambda of: of("salt")._replace(mass=1),
    "a field set": lambda of: setattr(of("salt"), "name", "soda"),
    "another set": lambda of: setattr(of("salt"), "mass", 1),
    "a short row": lambda of: of._make(()),
}


@pytest.mark.parametrize("what", REFUSED)
def test_it_refuses_what_that_of_typing_refuses(what: str) -> None:
    kinds = []
    for of in (Ours, Typed):
        with pytest.raises((TypeError, ValueError, AttributeError)) as refused:
            REFUSED[what](of)
        kinds.append(refused.type)
    assert kinds[0] is kinds[1]


def test_a_class_of_the_package_is_matched_by_its_fields() -> None:
    match Place("f.yaml", 3):
        case Place(path, line, column=1):
            assert (path, line) == ("f.yaml", 3)

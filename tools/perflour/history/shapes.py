"""Kept facts as values, the shape of each checked first: the file may be of another machine, or be tampered with.

A row makes nothing but the types of ``diff.change`` and ``Known``, with fields of the types that these state. What was
kept is no secret and no proof: whoever may write it may write other figures of the right shape (docs/team.md).
"""

from collections.abc import Callable
from types import NoneType, UnionType

from perflour.diff.change import Change
from perflour.diff.kinds import KINDS
from perflour.history.iterations import Known
from perflour.typed import Any

_Read = Callable[[Any], Any]


def change_from(row: Any) -> Change:
    """The change of a row. Raises ValueError for one that is none, or not of the type of its kind."""
    change: Change = _CHANGE(row)
    if change.kind not in KINDS or not isinstance(change, KINDS[change.kind].type):
        raise ValueError(row)
    return change


def known_from(row: Any) -> Known:
    """What a row says of a blob. Raises ValueError for one that says something else."""
    digest, id, title, status, unreadable, percents, earlier_digest, not_weighed = row
    told = tuple([(_str(name), _float(percent)) for name, percent in percents])
    for word in (digest, id, title, status, unreadable, earlier_digest, *not_weighed):
        _str(word)
    return Known(digest, id, title, status, unreadable, told, earlier_digest, tuple(not_weighed))


def names_from(row: Any) -> tuple[str, ...]:
    """The names in a row. Raises ValueError for something else."""
    names: tuple[str, ...] = _NAMES(row)
    return names


def _plain(*types: type) -> _Read:
    """Reads a value of exactly one of these types: nothing that only acts like one."""
    allowed = frozenset(types)

    def read(value: Any) -> Any:
        if type(value) not in allowed:
            raise ValueError(value)
        return value

    return read


def _several(one: _Read) -> _Read:
    """Reads a row of any number of the same, which starts with no name."""

    def read(row: Any) -> tuple[Any, ...]:
        if type(row) is not list or row[:1] != [""]:
            raise ValueError(row)
        return tuple([one(value) for value in row[1:]])

    return read


def _made(kind: Any) -> _Read:
    """Reads the row of a NamedTuple: its name, then its fields."""
    fields = [_reader(annotation) for annotation in kind.__annotations__.values()]

    def read(row: Any) -> Any:
        values = row[1:]
        if len(values) != len(fields):
            raise ValueError(row)
        return kind(*[field(value) for field, value in zip(fields, values, strict=True)])

    return read


def _one_of(kinds: tuple[Any, ...]) -> _Read:
    """Reads a row by the name that it starts with, or nothing where that is allowed."""
    made = {kind.__name__: _made(kind) for kind in kinds if kind is not NoneType}

    def read(row: Any) -> Any:
        if row is None and NoneType in kinds:
            return None
        if type(row) is not list or not row or row[0] not in made:
            raise ValueError(row)
        return made[row[0]](row)

    return read


def _reader(annotation: Any) -> _Read:
    """What reads values of a type as the fields of changes state it."""
    if getattr(annotation, "__origin__", None) is tuple:
        return _several(_reader(annotation.__args__[0]))
    kinds = annotation.__args__ if isinstance(annotation, UnionType) else (annotation,)
    if not any(hasattr(kind, "_fields") for kind in kinds):
        return _plain(*kinds, *((int,) if float in kinds else ()))
    return _one_of(kinds)


_str, _float = _plain(str), _plain(float, int)
_CHANGE, _NAMES = _reader(Change), _several(_str)

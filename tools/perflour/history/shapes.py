"""Facts as they are kept, and kept ones as values, the shape of each checked first: the file may be of another machine,
or be tampered with.

A row makes nothing but the types of ``diff.change`` and ``Known``, with fields of the types that these state. What was
kept is no secret and no proof: whoever may write it may write other figures of the right shape (docs/team.md).
A change holds a dozen figures of seventeen digits, which take longer to write than all its words: those of a row stand
together behind it, and an empty text in the place of each.
"""

from collections.abc import Callable, Iterable, Iterator
from struct import pack, unpack
from types import NoneType, UnionType

from perflour.diff.change import Change
from perflour.diff.kinds import KINDS
from perflour.history.iterations import Known
from perflour.tuples import NamedTuple
from perflour.typed import Any

# The figures of a row, in the order of ``write``.
Figures = Iterator[float]


class _Shape(NamedTuple):
    """How a value is read from what was kept, checked; how it is kept, None where as it is; whether it may be a figure."""

    read: Callable[[Any, Figures], Any]
    write: Callable[[Any, list[float]], Any] | None = None
    is_figure: bool = False


def changes_row(changes: Iterable[Change], figures: list[float]) -> list[Any]:
    """Changes as they are kept; their figures are added to those given."""
    write = _CHANGE.write
    assert write
    return [write(change, figures) for change in changes]


def changes_from(rows: Any, figures: Figures) -> tuple[Change, ...]:
    """The changes of a row. Raises ValueError where one is none, or not of the type of its kind."""
    if type(rows) is not list:
        raise ValueError(rows)
    return tuple([_change_from(row, figures) for row in rows])


def _change_from(row: Any, figures: Figures) -> Change:
    change: Change = _CHANGE.read(row, figures)
    if change.kind not in KINDS or not isinstance(change, KINDS[change.kind].type):
        raise ValueError(row)
    return change


def figures_as_text(figures: list[float]) -> str:
    """Figures bit by bit, the same on every machine."""
    return pack(f"<{len(figures)}d", *figures).hex()


def figures_from(text: Any) -> Figures:
    """The figures in such a text. Raises ValueError where it is none."""
    content = bytes.fromhex(_str(text))
    if len(content) % 8:
        raise ValueError(text)
    return iter(unpack(f"<{len(content) // 8}d", content))


def known_from(row: Any) -> Known:
    """What a row says of a blob. Raises ValueError for one that says something else."""
    digest, id, title, status, unreadable, percents, earlier_digest, not_weighed = row
    told = tuple([(_str(name), _float(percent)) for name, percent in percents])
    for word in (digest, id, title, status, unreadable, earlier_digest, *not_weighed):
        _str(word)
    return Known(digest, id, title, status, unreadable, told, earlier_digest, tuple(not_weighed))


def names_from(row: Any) -> tuple[str, ...]:
    """The names in a row. Raises ValueError for something else."""
    if type(row) is not list:
        raise ValueError(row)
    return tuple(map(_str, row))


def _plain(*types: type) -> Callable[[Any], Any]:
    """Reads a value of exactly one of these types: nothing that only acts like one."""
    allowed = frozenset(types)

    def read(value: Any) -> Any:
        if type(value) not in allowed:
            raise ValueError(value)
        return value

    return read


def _alone(*types: type) -> _Shape:
    """A plain value that is one of these types."""
    read = _plain(*types, *((int,) if float in types else ()))
    if float not in types:
        return _Shape(lambda value, _: read(value))

    def read_figure(value: Any, figures: Figures) -> Any:
        return read(next(figures, "") if value == "" else value)

    return _Shape(read_figure, is_figure=True)


def _several(one: _Shape) -> _Shape:
    """Any number of the same."""

    def read(row: Any, figures: Figures) -> tuple[Any, ...]:
        if type(row) is not list:
            raise ValueError(row)
        return tuple([one.read(value, figures) for value in row])

    write = one.write
    return _Shape(read, write and (lambda values, figures: [write(v, figures) for v in values]))


def _made(kind: Any) -> _Shape:
    """A NamedTuple: its name, then its fields; the figures of its own before those of what it holds."""
    shapes = [_shape(annotation) for annotation in kind.__annotations__.values()]
    own = [at for at, shape in enumerate(shapes) if shape.is_figure]
    within = [(at, shape.write) for at, shape in enumerate(shapes) if shape.write]
    order = [*own, *(at for at in range(len(shapes)) if at not in own)]

    def read(row: Any, figures: Figures) -> Any:
        values = row[1:]
        if len(values) != len(shapes):
            raise ValueError(row)
        for at in order:
            values[at] = shapes[at].read(values[at], figures)
        return kind(*values)

    def write(made: Any, figures: list[float]) -> list[Any]:
        row = list(made)
        for at in own:
            if type(row[at]) is float:
                figures.append(row[at])
                row[at] = ""
        for at, write_one in within:
            if row[at]:
                row[at] = write_one(row[at], figures)
        row.insert(0, kind.__name__)
        return row

    return _Shape(read, write)


class _Kinds(dict[str, _Shape]):
    """NamedTuples by name, the shape of each made when it is first met: few kinds are in one row."""

    def __init__(self, kinds: Iterable[Any]) -> None:
        super().__init__()
        self._kinds = {kind.__name__: kind for kind in kinds}

    def __missing__(self, name: str) -> _Shape:
        if name not in self._kinds:
            raise ValueError(name)
        self[name] = _made(self._kinds[name])
        return self[name]


def _one_of(kinds: tuple[Any, ...]) -> _Shape:
    """One of these NamedTuples by the name that its row starts with, or nothing where that is allowed."""
    may_lack = NoneType in kinds
    made = _Kinds(kind for kind in kinds if kind is not NoneType)

    def read(row: Any, figures: Figures) -> Any:
        if row is None and may_lack:
            return None
        if type(row) is not list or not row:
            raise ValueError(row)
        return made[_str(row[0])].read(row, figures)

    def write(value: Any, figures: list[float]) -> Any:
        write_one = made[type(value).__name__].write
        assert write_one
        return write_one(value, figures)

    return _Shape(read, write)


def _shape(annotation: Any) -> _Shape:
    """The shape of a type as the fields of changes state it."""
    if getattr(annotation, "__origin__", None) is tuple:
        return _several(_shape(annotation.__args__[0]))
    kinds = annotation.__args__ if isinstance(annotation, UnionType) else (annotation,)
    if not any(hasattr(kind, "_fields") for kind in kinds):
        return _alone(*kinds)
    return _one_of(kinds)


_str, _float = _plain(str), _plain(float, int)
_CHANGE = _shape(Change)

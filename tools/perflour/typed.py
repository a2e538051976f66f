"""Names of `typing` for modules that every start loads: it takes a twentieth of checking one file (docs/performance.md).

To a type checker they are typing's own. At run time nobody looks into an annotation here, so one class stands
for all: it takes a subscript, goes with `|`, and can be inherited from.
"""

#: A type checker knows it by its name.
TYPE_CHECKING = False

if TYPE_CHECKING:
    from typing import IO as IO
    from typing import Any as Any
    from typing import Generic as Generic
    from typing import Literal as Literal
    from typing import NoReturn as NoReturn
    from typing import TypeVar as TypeVar
else:

    class Any:
        __slots__ = ()

        def __class_getitem__(cls, _):
            return cls

    IO = Generic = Literal = NoReturn = Any

    def TypeVar(_name, *_kinds, **_bounds):
        return Any

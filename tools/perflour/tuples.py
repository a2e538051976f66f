"""`NamedTuple` as typing has it, whose classes take a tenth of the time to make: docs/performance.md.

To a type checker it is typing's own. That one checks every annotation and compiles code for each class, which took
a sixth of a start; here classes of one length share their code, with other names of arguments, and all share
their methods. Instances are made, read, matched and copied in the same way and as fast.
"""

import sys

from perflour.typed import TYPE_CHECKING

#: A named tuple of all its fields, at once: for those that are made by the hundred a file (docs/performance.md).
of_fields = tuple.__new__

if TYPE_CHECKING or sys.version_info >= (3, 14):  # which keeps annotations elsewhere
    from typing import NamedTuple as NamedTuple
else:
    from _collections import _tuplegetter as field_at  # what collections.namedtuple reads fields by
    from types import FunctionType

    _CODE_BY_LENGTH = {}

    def _new(class_name, names, usual):
        """The ``__new__`` of a class with fields of those names, the last of them with usual values."""
        length = len(names)
        if length not in _CODE_BY_LENGTH:
            words = "".join([f"field_{at}, " for at in range(length)])
            made = eval(f"lambda cls, {words}: new(cls, ({words}))")
            _CODE_BY_LENGTH[length] = made.__code__
        code = _CODE_BY_LENGTH[length].replace(
            co_varnames=("cls", *names), co_name="__new__", co_qualname=f"{class_name}.__new__"
        )
        return FunctionType(code, {"new": tuple.__new__}, "__new__", usual)

    class _Making(type):
        """Makes the classes, of their annotations and usual values."""

        def __new__(cls, name, bases, members):
            if "__annotations__" in members:
                names = tuple(members["__annotations__"])
                usual = tuple([members.pop(field) for field in names if field in members])
                members |= {field: field_at(at, "") for at, field in enumerate(names)}
                members |= {"_fields": names, "__match_args__": names, "__slots__": ()}
                members["__new__"] = _new(name, names, usual)
            return super().__new__(cls, name, bases, members)

    class NamedTuple(tuple, metaclass=_Making):
        __slots__ = ()

        @classmethod
        def _make(cls, values):
            return cls(*values)

        def _replace(self, /, **values):
            made = tuple.__new__(type(self), map(values.pop, self._fields, self))
            if values:
                raise ValueError(f"Got unexpected field names: {list(values)!r}")
            return made

        def _asdict(self):
            return dict(zip(self._fields, self, strict=True))

        def __repr__(self):
            said = ", ".join([f"{name}={value!r}" for name, value in self._asdict().items()])
            return f"{type(self).__name__}({said})"

        def __getnewargs__(self):
            return tuple(self)

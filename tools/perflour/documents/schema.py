"""Documents against the JSON Schemas of schema/ (draft 2020-12)."""

from __future__ import annotations

import itertools
import json
import os
from collections.abc import Iterator

from perflour.documents.reader import Document
from perflour.documents.shipped import shipped
from perflour.documents.validators import JsonSchemaValueException
from perflour.result import Place, Result
from perflour.typed import Any

#: The name of a schema: a kind of file (system/file_kinds.py), or `balance`, which `show` prints.
Kind = str
RULE = "not-as-schema"
MAX_RESULTS = 20
#: Enough to sort the first twenty out of, without explaining a hopeless file to its end.
MAX_EXPLAINED = 200


def schema(kind: Kind) -> dict[str, Any]:
    """The schema of one kind of file."""
    made: dict[str, Any] = shipped(os.path.join(SCHEMAS, schema_file(kind)), json.loads)
    return made


def schema_file(kind: Kind) -> str:
    """How the file of a schema is called, here and where a repository holds a copy."""
    return f"{kind}.schema.json"


def _schema_folder() -> str:
    here = os.path.dirname(os.path.dirname(__file__))
    packaged = os.path.join(here, "schema")
    return packaged if os.path.isdir(packaged) else os.path.join(here, "..", "..", "schema")


#: schema/ as packaged in the wheel, else that of the source tree.
SCHEMAS = _schema_folder()


def is_valid(data: object, kind: Kind) -> bool:
    """The verdict alone, by validators/KIND.py, which fastjsonschema wrote from the schema."""
    try:
        __import__(f"perflour.documents.validators.{kind}", fromlist=["validate"]).validate(data)
    except JsonSchemaValueException:
        return False
    return True


def check_schema(document: Document, kind: Kind) -> tuple[Result, ...]:
    """What in ``document`` breaks the schema, at most twenty results, in order of place.

    Only where the file is not valid, jsonschema is loaded, for what exactly is wrong where.
    """
    if is_valid(document.data, kind):
        return ()
    from jsonschema import Draft202012Validator  # slow to load: docs/performance.md

    errors = Draft202012Validator(schema(kind)).iter_errors(document.data)
    explained = (result for error in errors for result in _explain(error, document))
    results = set(itertools.islice(explained, MAX_EXPLAINED)) or {_ends_in_line_break(document)}
    ordered = sorted(results, key=lambda r: (r.place.line, r.place.column, r.message))
    return tuple(ordered[:MAX_RESULTS])


def _ends_in_line_break(document: Document) -> Result:
    """The one thing patterns differ about: whether text may end in a line break."""
    ending = (path for path in document.paths() if str(document.value(*path)).endswith("\n"))
    place = document.place(*next(ending, ()))
    return _result(place, "a name or id ends in a line break; write it on one line")


def _explain(error: Any, document: Document) -> Iterator[Result]:
    path = tuple(error.absolute_path)
    where = document.place(*path)
    match error.validator:
        case "additionalProperties":
            yield from _unknown_keys(error, document)
        case "required":
            missing = [k for k in error.validator_value if k not in error.instance]
            yield _result(
                where,
                f"{_name(path)} has no {_listed(missing)}; add {'it' if len(missing) == 1 else 'them'}",
            )
        case "oneOf":
            yield from _item_or_part(error, where, path)
        case "type":
            yield _result(
                where, f"{_name(path)} is {_shown(error.instance)}, but must be {_type(error)}"
            )
        case "enum":
            yield _result(
                where,
                f"{_name(path)} is {_shown(error.instance)}; write one of {', '.join(map(str, error.validator_value))}",
            )
        case "pattern":
            yield _result(
                where, f"{_name(path)} is {_shown(error.instance)}; write it like {_example(error)}"
            )
        case "minLength" | "minItems":
            yield _result(where, f"{_name(path)} is empty; fill it in or remove it")
        case "maxItems" | "maxLength":
            yield Result(
                "over-limit",
                "error",
                f"{_name(path)} is longer than {error.validator_value:,}; split it",
                where,
            )
        case _:
            yield _result(
                where,
                f"{_name(path)} is {_shown(error.instance)}, outside what is allowed ({error.validator} {error.validator_value}); {_hint(error)}",
            )


def _item_or_part(error: Any, where: Place, path: tuple[str | int, ...]) -> Iterator[Result]:
    """The one choice in our schemas: a line names an item or a part."""
    if isinstance(error.instance, dict):  # anything else is said by its type
        both = "item" in error.instance
        end = "`part`, not both; keep one" if both else "`part`; add one"
        yield _result(where, f"{_name(path)} needs either `item` or {end}")


def _unknown_keys(error: Any, document: Document) -> Iterator[Result]:
    from difflib import get_close_matches

    known = list(error.schema.get("properties", ()))
    path = tuple(error.absolute_path)
    for key in error.instance:
        if key not in known:
            close = get_close_matches(key, known, n=1, cutoff=0.6)
            hint = f"did you mean '{close[0]}'?" if close else f"known here: {', '.join(known)}"
            yield _result(
                document.key_place(*path, key), f"unknown key '{key[:40]}' in {_name(path)}; {hint}"
            )


def _result(place: Place, message: str) -> Result:
    return Result(RULE, "error", message, place)


def _name(path: tuple[str | int, ...]) -> str:
    """The node in words: parts[1].ingredients[0].amount -> amount of ingredient 1 of part 2."""
    words: list[str] = []
    for at, step in enumerate(path):
        if isinstance(step, int):
            owner = str(path[at - 1]).rstrip("s")
            words[-1:] = [f"{ {'method': 'step', 'use': 'name'}.get(owner, owner) } {step + 1}"]
        else:
            words.append(f"`{step}`")
    return " of ".join(reversed(words)) or "the file"


def _listed(keys: list[str]) -> str:
    return ", ".join(f"`{key}`" for key in keys)


def _shown(value: object) -> str:
    if isinstance(value, dict | list):
        return "a mapping" if isinstance(value, dict) else "a list"
    text = "nothing" if value is None else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}…"


def _type(error: Any) -> str:
    wanted = {
        "string": "text",
        "array": "a list",
        "object": "a mapping of keys",
        "integer": "a whole number",
        "number": "a number",
        "boolean": "true or false",
    }
    kind = wanted[str(error.validator_value)]
    return f"{kind}, like {_example(error)}"


def _example(error: Any) -> str:
    examples = error.schema.get("examples") or ["…"]
    return f"`{json.dumps(examples[0], ensure_ascii=False)}`"


def _hint(error: Any) -> str:
    return f"write it like {_example(error)}"

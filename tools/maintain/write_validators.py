"""Write tools/perflour/documents/validators/*.py: each schema of schema/ as plain Python code.

fastjsonschema turns a schema into code that needs nothing but ``re`` and loads at once, which neither
jsonschema nor a compiled validator does (docs/performance.md). The schemas use only keywords that draft-07
and 2020-12 read alike. tests/documents/test_schema.py writes the code again, compares, and holds its
verdicts against jsonschema and jsonschema-rs.

    python tools/maintain/write_validators.py
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import cast

from perflour.documents.schema import Kind, schema
from perflour.system.file_kinds import FILE_KINDS

FOLDER = Path(__file__).parents[1] / "perflour" / "documents" / "validators"

_IMPORTED = "from fastjsonschema import"
_OWN = "from perflour.documents.validators import"


def as_code(kind: Kind) -> str:
    """The validator of one kind as Python source with a function ``validate(data)``."""
    import fastjsonschema

    shape = {**schema(kind), "$schema": "http://json-schema.org/draft-07/schema#"}
    code = fastjsonschema.compile_to_code(
        cast("dict[str, object]", _bare(shape)), detailed_exceptions=False
    )
    code = re.sub(r"^VERSION = .*\n", "", code.replace(_IMPORTED, _OWN), flags=re.MULTILINE)
    # Numbers come from YAML: never Decimal, whose import costs as much as the validation.
    code = code.replace("from decimal import Decimal\n", "").replace(
        "(int, float, Decimal)", "(int, float)"
    )
    code = _without_words(code)
    name = re.search(r"^def (validate\w+_schema_json)\(", code, re.MULTILINE)
    assert name is not None
    return f"# Written by tools/maintain/write_validators.py; do not edit.\n{code}\n\nvalidate = {name[1]}\n"


def _without_words(code: str) -> str:
    """The code without the messages that nobody reads: to name every place takes most of its time.

    What is missing is not named either, and asked of the mapping itself.
    """
    code = re.sub(r"raise (JsonSchemaValueException)\(.*\)$", r"raise \1", code, flags=re.MULTILINE)
    code = re.sub(r", custom_formats, \(name_prefix or .*\)$", ")", code, flags=re.MULTILINE)
    missing = (
        r"\w+__missing_keys = set\(\[('[\w-]+')\]\) - (\w+)\.keys\(\)\n +if \w+__missing_keys:"
    )
    code = re.sub(missing, r"if \1 not in \2:", code)
    code = re.sub(r"\bset\(\[(.*?)\]\) - ", r"{\1} - ", code).replace(
        "set(data.keys())", "set(data)"
    )
    return code.replace("(data, custom_formats={}, name_prefix=None)", "(data)")


def _bare(node: object) -> object:
    """A schema without the words for people, which would only make the code longer."""
    if isinstance(node, list):
        return [_bare(item) for item in node]
    if not isinstance(node, dict):
        return node
    words = ("title", "description", "examples")
    return {k: _bare(v) for k, v in node.items() if not (k in words and isinstance(v, str | list))}


def main() -> None:
    for kind in FILE_KINDS:
        (FOLDER / f"{kind.name}.py").write_text(as_code(kind.name), encoding="utf-8")


if __name__ == "__main__":
    main()

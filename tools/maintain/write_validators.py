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
from typing import Any, cast

from perflour.documents.schema import Kind, schema
from perflour.system.file_kinds import FILE_KINDS

FOLDER = Path(__file__).parents[1] / "perflour" / "documents" / "validators"

_IMPORTED = "from fastjsonschema import"
_OWN = "from perflour.documents.validators import"


def as_code(kind: Kind) -> str:
    """The validator of one kind as Python source with a function ``validate(data)``."""
    import fastjsonschema

    shape = _texts_in_place(schema(kind), schema(kind).get("$defs", {}))
    shape = {**shape, "$schema": "http://json-schema.org/draft-07/schema#"}
    code = fastjsonschema.compile_to_code(
        cast("dict[str, object]", _bare(shape)), detailed_exceptions=False
    )
    code = re.sub(r"^VERSION = .*\n", "", code.replace(_IMPORTED, _OWN), flags=re.MULTILINE)
    # Numbers come from YAML: never Decimal, whose import costs as much as the validation.
    code = code.replace("from decimal import Decimal\n", "").replace(
        "(int, float, Decimal)", "(int, float)"
    )
    code = _asked_once(_without_words(_patterns_in_place(code)))
    name = re.search(r"^def (validate\w+_schema_json)\(", code, re.MULTILINE)
    assert name is not None
    return f"# Written by tools/maintain/write_validators.py; do not edit.\n{code}\n\nvalidate = {name[1]}\n"


def _patterns_in_place(code: str) -> str:
    """The code with each pattern where it is asked: most files hold nothing for most of them."""
    for name, pattern in re.findall(r"^    ('.*'): re\.compile\(('.*')\),?$", code, re.MULTILINE):
        code = code.replace(f"REGEX_PATTERNS[{name}].search(", f"re.search({pattern}, ")
    return re.sub(r"^REGEX_PATTERNS = \{.*?\}\n\n", "", code, flags=re.MULTILINE | re.DOTALL)


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


_RAISES = r"\n +raise JsonSchemaValueException"
_TEXT_OF_LENGTH = re.compile(
    rf"^( *)if not isinstance\((\w+), \(str\)\):{_RAISES}\n\1if isinstance\(\2, str\):\n +\2_len = len\(\2\)"
    rf"(?:\n +if \2_len < (\d+):{_RAISES})?\n +if \2_len > (\d+):{_RAISES}\n(?!\1 )",
    re.MULTILINE,
)
_ONE_KEY = re.compile(
    rf"^( *)if (\w+) < 2:\n +try:\n +(\w+)_is_dict = isinstance\(\3, dict\)\n +if \3_is_dict:\n +if ('\w+') not in \3:"
    rf"{_RAISES}\n +\2 \+= 1\n +except \(.*\): pass\n",
    re.MULTILINE,
)
_KEYS = re.compile(
    r"^( *)((\w+)_keys) = set\(\3(?:\.keys\(\))?\)\n((?:\1.*\n)*)\1if \2:\n", re.MULTILINE
)


def _asked_once(code: str) -> str:
    """The code without what it asks twice: half of its time.

    Whether a text is one and how long it is are one test; which of two keys is there is asked without an exception
    to be caught; keys are held against those that are known, instead of each being taken out of a set of all.
    """
    code = _TEXT_OF_LENGTH.sub(
        lambda m: (
            f"{m[1]}if not (isinstance({m[2]}, str) and {m[3] or 0} <= len({m[2]}) <= {m[4]}):\n"
            f"{m[1]}    raise JsonSchemaValueException\n"
        ),
        code,
    )
    code = _ONE_KEY.sub(r"\1\2 += not isinstance(\3, dict) or \4 in \3\n", code)
    return _KEYS.sub(_against_known, code)


def _against_known(keys: re.Match[str]) -> str:
    """A mapping's entries looked at one by one, and whether there are others."""
    before, name, mapping, entries = keys.groups()
    known = ", ".join(re.findall(rf"^{before}if (\"[\w-]+\") in {name}:$", entries, re.MULTILINE))
    entries = re.sub(rf"^ +{name}\.remove\(.*\n", "", entries, flags=re.MULTILINE)
    entries = entries.replace(f" in {name}:", f" in {mapping}:")
    if re.search(rf"\b{name}\b", entries):  # of them, each unknown one has its own schema
        return keys[0]
    loop = (
        f"for {mapping}_key in {mapping}:\n{before}    if {mapping}_key not in {{{known}}}:\n    "
    )
    return f"{entries}{before}{loop}"


def _texts_in_place(node: Any, defined: dict[str, Any]) -> Any:
    """A schema in which plain texts that are defined apart stand where they are used, so that none is a call."""
    if isinstance(node, list):
        return [_texts_in_place(item, defined) for item in node]
    if not isinstance(node, dict):
        return node
    meant = defined.get(str(node.get("$ref", "")).removeprefix("#/$defs/"), {})
    if meant.get("type") == "string" and len(node) == 1:
        return meant
    return {key: _texts_in_place(value, defined) for key, value in node.items()}


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

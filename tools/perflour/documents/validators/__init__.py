"""Verdicts on documents, written from schema/ by tools/maintain/write_validators.py; never edited
by hand.
"""

class JsonSchemaValueException(ValueError):
    """Data that breaks its schema; jsonschema then says where and how."""

    def __init__(self, *_: object, **__: object) -> None:
        super().__init__("not as the schema says")


class JsonSchemaValuesException(JsonSchemaValueException):
    """The generated code names this one too."""

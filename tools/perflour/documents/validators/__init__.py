"""Verdicts on documents, written from schema/ by tools/maintain/write_validators.py; never edited
by hand.
"""

class JsonSchemaValueException(ValueError):
    """Data that breaks its schema; jsonschema then says where and how."""


class JsonSchemaValuesException(JsonSchemaValueException):
    """The generated code names this one too."""

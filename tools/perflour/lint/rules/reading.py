"""Results that come before any rule can run, or from waivers: identity and meaning of each.

They have no check of their own: the reader, the schema and the waiver handling yield them.
"""

from __future__ import annotations

READING: dict[str, str] = {
    "cannot-be-read": "The file, or a link in its place, is not one that is opened.",
    "broken-yaml": "The file is no YAML that can be read.",
    "not-utf-8": "The file is not UTF-8 text.",
    "empty-file": "The file holds no data.",
    "duplicate-key": "A key stands twice in one mapping.",
    "alias-or-tag": "YAML anchors, aliases and tags are not read.",
    "over-limit": "The file is larger, deeper or longer than the limits.",
    "not-as-schema": "The file does not have the shape its schema describes.",
    "own-unit-unreadable": "A unit of the house's own is not written as units are.",
    "colour-too-pale": "A colour of the book does not stand out from its paper.",
    "part-named-twice": "Two parts have one name; steps and other parts could not say which they use.",
    "trial-inconsistent": "The record of a planned trial contradicts itself.",
    "variant-missing": "A planned trial names a variant whose formula file is not there.",
    "variant-changed": "A variant is another revision than the one that its trial planned.",
    "waiver-of-unknown-rule": "A waiver names a rule that does not exist.",
    "waiver-not-needed": "A waiver covers nothing any more.",
}

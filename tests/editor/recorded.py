"""A session of an editor with the server, as it is told in tests/golden/editor_session.jsonl."""

from __future__ import annotations

import json
import re
from pathlib import Path

from perflour import __version__
from tests.conftest import ROOT
from tests.editor.kitchens import FORMULA, TEXT, make_kitchen, place_of
from tests.editor.plain_client import PlainClient

GOLDEN = ROOT / "tests" / "golden" / "editor_session.jsonl"


def recorded(folder: Path) -> str:
    """All that is said while somebody opens a formula, edits it, asks, and leaves; a message a line."""
    make_kitchen(folder)
    with PlainClient(folder) as client:
        _session(client)
    lines = (json.dumps(message, ensure_ascii=False) for message in client.said)
    neutral = "\n".join(lines).replace(folder.as_uri(), "file:///kitchen")
    neutral = re.sub(r'"[0-9a-f]{8}-[0-9a-f-]{27}"', '"SOME ID"', neutral)
    return neutral.replace(f'"version": "{__version__}"', '"version": "VERSION"') + "\n"


def _session(client: PlainClient) -> None:
    client.begin()
    client.open(FORMULA, TEXT)
    client.judged(FORMULA, 1)
    line, column = place_of(TEXT, "16 g}")
    there = {"line": line, "character": column}
    change = {
        "range": {"start": there, "end": {"line": line, "character": column + 2}},
        "text": "60",
    }
    client.change(FORMULA, 2, change)
    client.judged(FORMULA, 2)
    everything = {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}
    client.about("hover", FORMULA, place_of(TEXT, "honey", 2))
    client.about("inlayHint", FORMULA, range=everything)
    client.about("completion", FORMULA, place_of(TEXT, "item: honey", 8))
    client.about("codeLens", FORMULA)
    client.about("formatting", FORMULA, options={"tabSize": 2, "insertSpaces": True})
    client.about("rename", FORMULA, place_of(TEXT, "poolish", 2), newName="night sponge")
    client.tell("textDocument/didClose", {"textDocument": {"uri": client.uri(FORMULA)}})
    client.judged(FORMULA)
    assert client.end() == 0

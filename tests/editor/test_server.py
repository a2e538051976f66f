"""The server as an editor starts it: a process of its own, and a client that knows the protocol."""

from __future__ import annotations

import asyncio
import json
import os
import sys
from pathlib import Path

import pytest
from lsprotocol import types as lsp
from pytest_lsp import LanguageClient, client_capabilities
from pytest_lsp.client import make_test_lsp_client

from tests.conftest import GIT_ENVIRONMENT, ROOT, git
from tests.editor.kitchens import FORMULA, HOUSE, TEXT, make_kitchen, place_of
from tests.editor.plain_client import PlainClient
from tests.editor.recorded import GOLDEN, recorded

WAFFLE = "\U0001f9c7"  # beyond the first plane: two units of UTF-16, four bytes of UTF-8


async def started(folder: Path) -> LanguageClient:
    client = make_test_lsp_client()
    environment = {**GIT_ENVIRONMENT, "PYTHONPATH": str(ROOT / "tools")}
    words = (sys.executable, "-m", "perflour", "editor")
    await client.start_io(*words, cwd=str(folder), env=environment)
    return client


def test_a_client_that_checks_the_protocol_is_content(tmp_path: Path) -> None:
    """pytest-lsp warns of every answer that the capabilities of its client do not allow."""

    async def session() -> None:
        folder = make_kitchen(tmp_path)
        client = await started(folder)
        able = client_capabilities("neovim@0.11.0")
        params = lsp.InitializeParams(capabilities=able, root_uri=folder.as_uri())
        begun = await client.initialize_session(params)
        assert begun.capabilities.inlay_hint_provider
        uri = (folder / FORMULA).as_uri()
        document = lsp.TextDocumentIdentifier(uri)
        text = TEXT.replace("honey, amount", "hony, amount")
        client.text_document_did_open(
            lsp.DidOpenTextDocumentParams(lsp.TextDocumentItem(uri, "yaml", 1, text))
        )
        await client.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        assert "unknown-ingredient" in {one.code for one in client.diagnostics[uri]}
        at = lsp.Position(*place_of(text, "hony", 1))
        hover = await client.text_document_hover_async(lsp.HoverParams(document, at))
        assert hover and "near it: honey" in hover.contents.value  # type: ignore[union-attr]
        near = lsp.CodeActionContext(client.diagnostics[uri])
        asked = lsp.CodeActionParams(document, lsp.Range(at, at), near)
        done = await client.text_document_code_action_async(asked)
        assert "Call it honey" in [one.title for one in done or []]
        found = await client.text_document_document_symbol_async(lsp.DocumentSymbolParams(document))
        assert found and len(found) == 3
        await client.shutdown_session()

    asyncio.run(session())


@pytest.mark.parametrize(("encoding", "column"), [("utf-16", 34), ("utf-8", 36), ("utf-32", 33)])
def test_columns_are_in_the_encoding_that_the_editor_asked_for(
    tmp_path: Path, encoding: str, column: int
) -> None:
    """LSP 3.17: the first of the client's encodings that the server knows."""
    line = "      - {note: xx, item: hony, amount: 1 tbsp, state: warm}"
    text = TEXT.replace("      - {item: honey, amount: 1 tbsp, state: warm}", line.replace("xx", f"{WAFFLE} no sugar"))  # fmt: skip
    with PlainClient(make_kitchen(tmp_path)) as client:
        begun = client.begin(general={"positionEncodings": [encoding]})
        assert begun["result"]["capabilities"]["positionEncoding"] == encoding
        client.open(FORMULA, text)
        (unknown,) = [d for d in client.judged(FORMULA) if d["code"] == "unknown-ingredient"]
        begin, end = (unknown["range"][which]["character"] for which in ("start", "end"))
        assert (begin, end) == (column, column + len("hony"))
        there = {"start": {"line": 18, "character": begin}, "end": {"line": 18, "character": end}}
        client.change(FORMULA, 2, {"range": there, "text": "honey"})
        assert "unknown-ingredient" not in {d["code"] for d in client.judged(FORMULA, 2)}
        assert client.end() == 0


def test_diagnostics_are_of_the_last_version_and_go_with_the_text(tmp_path: Path) -> None:
    with PlainClient(make_kitchen(tmp_path)) as client:
        client.begin()
        client.open(FORMULA, TEXT)
        client.judged(FORMULA, 1)
        for version, salt in enumerate(("1", "16", "160", "60"), 2):  # all before one is judged
            client.change(FORMULA, version, {"text": TEXT.replace("16 g", f"{salt} g")})
        hints = client.about("inlayHint", FORMULA, range={"start": {"line": 17, "character": 0}, "end": {"line": 17, "character": 99}})  # fmt: skip
        assert [hint["label"] for hint in hints] == ["60 g · 10.00 % of the dough's own flour"]
        found = client.judged(FORMULA, 5)
        assert "salt is 7.5 % of the dough's flour" in json.dumps(found, ensure_ascii=False)
        told = [m["server"]["params"] for m in client.said if m.get("server", {}).get("method") == "textDocument/publishDiagnostics"]  # fmt: skip
        versions = [one["version"] for one in told]
        assert versions == sorted(versions) and versions[-1] == 5
        client.tell("textDocument/didClose", {"textDocument": {"uri": client.uri(FORMULA)}})
        assert client.judged(FORMULA) == []
        assert client.about("hover", FORMULA, (0, 0)) is None


def test_a_house_that_changes_has_formulas_looked_at_again(tmp_path: Path) -> None:
    """While it is typed, half typed, closed, and when it changes on the disk."""
    with PlainClient(make_kitchen(tmp_path)) as client:
        client.begin()
        client.open(FORMULA, TEXT)
        assert client.judged(FORMULA) == []
        house, narrow = "formulas/house.yaml", HOUSE.replace("high: 2.5", "high: 1.5")
        client.open(house, HOUSE)
        assert client.judged(FORMULA) == []
        client.change(house, 2, {"text": narrow})
        assert [one["code"] for one in client.judged(FORMULA)] == ["ratio-outside-window"]
        client.change(house, 3, {"text": narrow[:-20]})  # broken: the saved one counts
        assert [one["severity"] for one in client.judged(house, 3)] == [1]
        assert client.judged(FORMULA) == []
        client.tell("textDocument/didClose", {"textDocument": {"uri": client.uri(house)}})
        client.judged(FORMULA)
        own = "ingredients:\n  - {name: honey, group: syrup, measures: [{per: tbsp, grams: 25, source: weighed here}]}\n"
        (tmp_path / "formulas/ingredients.yaml").write_text(own, encoding="utf-8")
        changed = [{"uri": client.uri("formulas/ingredients.yaml"), "type": 1}]
        client.tell("workspace/didChangeWatchedFiles", {"changes": changed})
        client.judged(FORMULA)
        hover = client.about("hover", FORMULA, place_of(TEXT, "honey", 1))
        assert "1 tbsp is 25.0 g (weighed here)" in hover["contents"]["value"]


def test_the_lens_follows_head(tmp_path: Path) -> None:
    with PlainClient(make_kitchen(tmp_path, with_git=True)) as client:
        client.begin()
        client.open(FORMULA, TEXT.replace("320 g", "350 g"))

        def against_head() -> str:
            *_, lazy = client.about("codeLens", FORMULA)
            return str(client.ask("codeLens/resolve", lazy)["result"]["command"]["title"])

        assert against_head() == "differs from the last commit: water in dough 40.0 -> 43.8 %"
        (tmp_path / FORMULA).write_text(TEXT.replace("320 g", "350 g"), encoding="utf-8")
        git(tmp_path, "commit", "-q", "-a", "-m", "More water")
        assert against_head() == "as in the last commit"
        other = "formulas/other/formula.yaml"
        client.open(other, TEXT)
        *_, lazy = client.about("codeLens", other)
        title = client.ask("codeLens/resolve", lazy)["result"]["command"]["title"]
        assert title == "not committed yet"
        client.change(FORMULA, 2, {"text": TEXT})
        stale = client.about("codeLens", FORMULA)[-1]
        client.change(FORMULA, 3, {"text": f"{TEXT}# later\n"})
        assert client.ask("codeLens/resolve", stale)["error"]["code"] == -32801  # ContentModified


def test_a_name_that_is_taken_is_refused_in_words(tmp_path: Path) -> None:
    with PlainClient(make_kitchen(tmp_path)) as client:
        client.begin()
        client.open(FORMULA, TEXT)
        here = place_of(TEXT, "honey", 2)
        ready = client.about("prepareRename", FORMULA, here)
        assert ready["placeholder"] == "honey"
        refused = client.about("rename", FORMULA, here, newName="water")
        assert refused["code"] == -32803  # RequestFailed
        assert refused["message"] == "'water' is an ingredient of this formula already; choose another name"  # fmt: skip
        assert client.about("prepareRename", FORMULA, (0, 2))["code"] == -32803


FAULTY = """
import perflour.editor.requests as requests
from perflour.editor.server import serve
requests.told_at = lambda *words: print("a word by mistake") or 1 / 0
serve()
"""


def test_the_server_lives_through_faults_and_what_is_no_message(tmp_path: Path) -> None:
    with PlainClient(make_kitchen(tmp_path), FAULTY) as client:
        client.begin()
        for text in ("", "\ud83e", "a: [", TEXT):
            client.open(FORMULA, text)
            assert client.about("hover", FORMULA, (0, 0)) is None
            fault = [
                m for m in client.said if m.get("server", {}).get("method") == "window/logMessage"
            ]
            assert (
                "a fault of our own in hover (ZeroDivisionError"
                in fault[-1]["server"]["params"]["message"]
            )
        client.send_bytes(
            b'{"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {"x": "\xff"}}'
        )
        client.send_bytes(b"{")
        client.send_bytes(
            b'{"jsonrpc": "2.0", "id": 77, "method": "textDocument/hover", "params": 3}'
        )
        client.change("formulas/never-opened/formula.yaml", 1, {"text": "x"})
        assert client.about("symbol", FORMULA)["code"] == -32601  # MethodNotFound
        assert len(client.about("documentSymbol", FORMULA)) == 3
        assert client.end() == 0


def test_the_recorded_session_is_what_is_said_today(tmp_path: Path) -> None:
    """Renewed by `python tools/maintain/write_editor_golden.py`."""
    assert recorded(tmp_path) == GOLDEN.read_text(encoding="utf-8")


def test_the_end_of_input_ends_the_server(tmp_path: Path) -> None:
    with PlainClient(make_kitchen(tmp_path)) as client:
        client.begin()
        stream = client.process.stdin
        assert stream is not None
        stream.close()
        assert client.process.wait(30) == 0
        client.process.stdin = open(os.devnull, "wb")  # noqa: SIM115

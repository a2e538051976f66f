"""A client that knows the frame of the protocol and nothing else: what it sends and gets is plain data."""

from __future__ import annotations

import json
import os
import re
import select
import subprocess
import sys
from pathlib import Path
from types import TracebackType
from typing import Any

from tests.conftest import GIT_ENVIRONMENT, ROOT

Message = dict[str, Any]
#: So long a busy machine may take for an answer.
PATIENCE_S = 30
#: What an editor says that it can do, as far as our server asks.
CAPABILITIES = {
    "general": {"positionEncodings": ["utf-16"]},
    "textDocument": {"hover": {"contentFormat": ["markdown", "plaintext"]}},
    "workspace": {"didChangeWatchedFiles": {"dynamicRegistration": True}},
}


class PlainClient:
    """A server of its own in a folder, and all that was said with it, in order."""

    def __init__(self, folder: Path, code: str = "") -> None:
        words = ["-c", code] if code else ["-m", "perflour", "editor"]
        self.process = subprocess.Popen(
            [sys.executable, *words],
            cwd=folder,
            env={
                **GIT_ENVIRONMENT,
                "PYTHONPATH": os.pathsep.join((str(ROOT / "tools"), str(ROOT))),
            },
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self.folder = folder
        self.said: list[Message] = []
        self.count = 0
        self.got = b""
        #: What came before an answer that was waited for.
        self.unheard: list[Message] = []

    def __enter__(self) -> PlainClient:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.process.kill()
        self.process.wait()
        for stream in (self.process.stdin, self.process.stdout):
            assert stream is not None
            stream.close()

    def uri(self, name: str) -> str:
        return (self.folder / name).as_uri()

    def begin(self, **capabilities: Any) -> Message:
        able = {**CAPABILITIES, **capabilities}
        params = {"processId": None, "rootUri": self.folder.as_uri(), "capabilities": able}
        answer = self.ask("initialize", params)
        self.tell("initialized", {})
        return answer

    def open(self, name: str, text: str, version: int = 1) -> None:
        document = {"uri": self.uri(name), "languageId": "yaml", "version": version, "text": text}
        self.tell("textDocument/didOpen", {"textDocument": document})

    def change(self, name: str, version: int, *changes: Message) -> None:
        document = {"uri": self.uri(name), "version": version}
        self.tell(
            "textDocument/didChange", {"textDocument": document, "contentChanges": list(changes)}
        )

    def judged(self, name: str, version: int | None = None) -> list[Message]:
        """What is said of a text next, or of a version of it."""
        while True:
            told = self.wait_for("textDocument/publishDiagnostics")
            if told["uri"] == self.uri(name) and version in (None, told.get("version")):
                found: list[Message] = told["diagnostics"]
                return found

    def about(self, method: str, name: str, at: tuple[int, int] | None = None, **more: Any) -> Any:
        """The answer to a question about a text, or a place of it."""
        params: Message = {"textDocument": {"uri": self.uri(name)}, **more}
        if at is not None:
            params["position"] = {"line": at[0], "character": at[1]}
        answer = self.ask(f"textDocument/{method}", params)
        return answer["result"] if "result" in answer else answer["error"]

    def end(self) -> int:
        self.ask("shutdown", None)
        self.tell("exit", None)
        return self.process.wait(30)

    def ask(self, method: str, params: Any) -> Message:
        self.count += 1
        self._send({"jsonrpc": "2.0", "id": self.count, "method": method, "params": params})
        while True:
            message = self._read()
            if message.get("id") == self.count and "method" not in message:
                return message
            self.unheard.append(message)

    def tell(self, method: str, params: Any) -> None:
        self._send({"jsonrpc": "2.0", "method": method, "params": params})

    def wait_for(self, method: str) -> Message:
        while True:
            message = self.unheard.pop(0) if self.unheard else self._read()
            if message.get("method") == method:
                params: Message = message["params"]
                return params

    def _send(self, message: Message) -> None:
        self.said.append({"editor": message})
        self.send_bytes(json.dumps(message).encode())

    def send_bytes(self, body: bytes) -> None:
        stream = self.process.stdin
        assert stream is not None
        stream.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        stream.flush()

    def _read(self) -> Message:
        """The next message. Fails the test where none comes."""
        head = self._until(b"\r\n\r\n")
        length = int(re.search(rb"Content-Length: (\d+)", head)[1])  # type: ignore[index]
        while len(self.got) < length:
            self._more()
        body, self.got = self.got[:length], self.got[length:]
        message: Message = json.loads(body)
        self.said.append({"server": message})
        return message

    def _until(self, end: bytes) -> bytes:
        while end not in self.got:
            self._more()
        head, _, self.got = self.got.partition(end)
        return head

    def _more(self) -> None:
        assert self.process.stdout is not None
        stream = self.process.stdout.fileno()
        assert select.select([stream], [], [], PATIENCE_S)[0], (
            f"nothing comes after {self.said[-1]}"
        )
        more = os.read(stream, 1 << 16)
        assert more, "the server is gone"
        self.got += more

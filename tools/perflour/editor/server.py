"""The server that an editor starts: it takes messages of the Language Server Protocol and answers from the session.

Messages are answered one after the other on one thread, so that each answer is made of the version that the
editor had sent before it asked. Only what asks git runs beside; its answer is dropped if the text went on.
"""

import asyncio
import gc
import os
import sys
from collections.abc import Callable
from functools import partial, wraps
from typing import Any, TypeVar

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer
from pygls.uris import to_fs_path

from perflour import __version__
from perflour.editor.session import Session
from perflour.editor.text import Edit, Text, changed, text_of
from perflour.editor.wire import Wire
from perflour.system.file_kinds import KITCHEN_FILES

#: What is typed meanwhile is judged together with what was typed before. House choice.
DEBOUNCE_S = 0.01
#: So many new objects are there before garbage is looked for: more than are read of most texts.
COLLECT_AFTER = 50_000
_T = TypeVar("_T")


class Refusal(JsonRpcException):
    """A request that is understood and not done, with the reason for the person who asked."""

    CODE = lsp.LSPErrorCodes.RequestFailed.value
    MESSAGE = "refused"


class Overtaken(JsonRpcException):
    """A request whose text has changed while it was worked on."""

    CODE = lsp.LSPErrorCodes.ContentModified.value
    MESSAGE = "the text has changed since"


class Server(LanguageServer):
    """The texts of one editor, and what is still to be told of them."""

    def __init__(self) -> None:
        super().__init__("perflour", __version__)
        self.session = Session()
        self.waiting: dict[str, asyncio.TimerHandle] = {}

    def wire(self, uri: str) -> Wire:
        return Wire(self.session.open[uri].text, self.units)

    @property
    def units(self) -> Any:
        encoding = self.workspace.position_encoding
        return getattr(encoding, "value", encoding)

    def pages(self, uri: str) -> str:
        """The address of the rules' pages, as the house says it."""
        page = self.session.page(uri)
        address = page.kitchen.house.rule_pages if page else ""
        return f"{address.rstrip('/')}/" if address else ""

    def look_at(self, uri: str) -> None:
        """Have a text judged soon, once for all that is typed until then."""
        if waiting := self.waiting.pop(uri, None):
            waiting.cancel()
        loop = asyncio.get_running_loop()
        self.waiting[uri] = loop.call_later(DEBOUNCE_S, self.judge, uri)

    def judge(self, uri: str) -> None:
        """Tell what lint says of a text as it is now."""
        self.waiting.pop(uri, None)
        if uri not in self.session.open:
            return
        try:
            results = self.session.results(uri)
            wire, pages = self.wire(uri), self.pages(uri)
            found = [wire.diagnostic(one, pages) for one in results]
        except Exception as fault:
            self.tell_fault("diagnostics", fault)
            return
        self.publish(uri, found, self.session.open[uri].version)

    def publish(self, uri: str, found: list[lsp.Diagnostic], version: int | None = None) -> None:
        self.text_document_publish_diagnostics(
            lsp.PublishDiagnosticsParams(uri=uri, diagnostics=found, version=version)
        )

    def tell_fault(self, what: str, fault: Exception) -> None:
        """A fault of our own, in the editor's log; the server lives on."""
        said = f"a fault of our own in {what} ({type(fault).__name__}: {fault}); please report it"
        self.window_log_message(lsp.LogMessageParams(type=lsp.MessageType.Error, message=said))

    def report_server_error(self, error: Exception, source: Any) -> None:
        """What could not be read of a message: in the log, where it disturbs nobody's typing."""
        if not isinstance(error, Refusal | Overtaken):
            self.tell_fault("a message", error)


def answers(work: Callable[..., _T]) -> Callable[..., _T | None]:
    """A handler that answers nothing where it fails, and says so in the log."""

    @wraps(work)
    def safe(server: Server, params: Any) -> _T | None:
        try:
            return work(server, params)
        except JsonRpcException:
            raise
        except Exception as fault:
            server.tell_fault(work.__name__.replace("_", " "), fault)
            return None

    return safe


def path_of(uri: str) -> str:
    """The path of an address; of a text that was never saved, what its address says."""
    path = to_fs_path(uri)
    return os.path.normpath(path) if path else uri.rpartition(":")[2]


# --- texts that come, change and go


@answers
def opened(server: Server, params: lsp.DidOpenTextDocumentParams) -> None:
    it = params.text_document
    if server.session.opened(it.uri, path_of(it.uri), it.version, text_of(it.text)):
        server.look_at(it.uri)
        _look_at_others(server, it.uri)


@answers
def typed(server: Server, params: lsp.DidChangeTextDocumentParams) -> None:
    uri = params.text_document.uri
    if uri not in server.session.open:
        return
    text = server.session.open[uri].text
    for change in params.content_changes:
        text = _after(server, text, change)
    server.session.changed(uri, params.text_document.version, text)
    server.look_at(uri)
    _look_at_others(server, uri)


def _after(server: Server, text: Text, change: lsp.TextDocumentContentChangeEvent) -> Text:
    if isinstance(change, lsp.TextDocumentContentChangePartial):
        return changed(text, Edit(Wire(text, server.units).span(change.range), change.text))
    return text_of(change.text)


@answers
def closed(server: Server, params: lsp.DidCloseTextDocumentParams) -> None:
    uri = params.text_document.uri
    others = server.session.judged_by(path_of(uri))
    if server.session.closed(uri):
        server.publish(uri, [])
    for other in others:
        server.look_at(other)


@answers
def moved_on_disk(server: Server, params: lsp.DidChangeWatchedFilesParams) -> None:
    paths = [path_of(change.uri) for change in params.changes]
    for uri in dict.fromkeys(uri for path in paths for uri in server.session.judged_by(path)):
        server.look_at(uri)
    if paths:
        _refresh(server)


@answers
def saved(server: Server, params: lsp.DidSaveTextDocumentParams) -> None:
    server.look_at(params.text_document.uri)
    _look_at_others(server, params.text_document.uri)


def _look_at_others(server: Server, uri: str) -> None:
    """Texts that are judged by the one at an address, if it is a house file."""
    others = server.session.judged_by(path_of(uri))
    for other in others:
        server.look_at(other)
    if others:
        _refresh(server)


def _refresh(server: Server) -> None:
    """Have the editor ask again for what stands beside and over lines."""
    able = server.client_capabilities.workspace
    if able and able.inlay_hint and able.inlay_hint.refresh_support:
        server.workspace_inlay_hint_refresh(None)
    if able and able.code_lens and able.code_lens.refresh_support:
        server.workspace_code_lens_refresh(None)


@answers
def ready(server: Server, params: lsp.InitializedParams) -> None:
    """Ask to be told of house files that change on the disk."""
    able = server.client_capabilities.workspace
    watching = able.did_change_watched_files if able else None
    if watching and watching.dynamic_registration:
        watched = [lsp.FileSystemWatcher(f"**/{name}") for name in KITCHEN_FILES]
        options = lsp.DidChangeWatchedFilesRegistrationOptions(watched)
        one = lsp.Registration("kitchens", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)
        server.client_register_capability(lsp.RegistrationParams([one]))


def make_server() -> Server:
    """A server with all its handlers."""
    from perflour.editor.requests import REQUESTS  # it imports this module

    server = Server()
    for method, handler in (
        (lsp.INITIALIZED, ready),
        (lsp.TEXT_DOCUMENT_DID_OPEN, opened),
        (lsp.TEXT_DOCUMENT_DID_CHANGE, typed),
        (lsp.TEXT_DOCUMENT_DID_SAVE, saved),
        (lsp.TEXT_DOCUMENT_DID_CLOSE, closed),
        (lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, moved_on_disk),
    ):
        server.feature(method)(partial(handler, server))
    for method, handler, options in REQUESTS:
        server.feature(method, options)(partial(handler, server))
    return server


def serve() -> None:
    """Answer an editor until it says that it leaves."""
    server = make_server()
    gc.freeze()
    gc.enable()  # a server runs all day, short runs do without; rarely, though: docs/performance.md
    gc.set_threshold(COLLECT_AFTER, 20, 20)
    stdout = sys.stdout.buffer
    sys.stdout = sys.stderr  # what is printed by mistake must not come between messages
    server.start_io(sys.stdin.buffer, stdout)

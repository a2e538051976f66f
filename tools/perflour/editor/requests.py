"""What an editor may ask of a text, and how it is answered."""

import asyncio
from collections.abc import Callable
from functools import wraps
from typing import Any, NamedTuple, TypeVar

from lsprotocol import types as lsp

from perflour.editor.actions import actions, formatted, mended_all
from perflour.editor.completion import offers_at
from perflour.editor.hints import hints
from perflour.editor.hover import told_at
from perflour.editor.lenses import against_head, lens_span, lens_words
from perflour.editor.page import Marked, Page
from perflour.editor.rename import (
    CannotRename,
    definitions,
    references,
    renamable,
    renamed,
    told_and_used,
)
from perflour.editor.server import Overtaken, Refusal, Server, answers
from perflour.editor.symbols import symbols
from perflour.editor.wire import Wire
from perflour.plain import one_line

_T = TypeVar("_T")


class Asked(NamedTuple):
    """The text that a request is about, in the version that it has now."""

    server: Server
    uri: str
    page: Page
    wire: Wire

    @property
    def results(self) -> tuple[Marked, ...]:
        return self.server.session.results(self.uri)

    @property
    def version(self) -> lsp.OptionalVersionedTextDocumentIdentifier:
        version = self.server.session.open[self.uri].version
        return lsp.OptionalVersionedTextDocumentIdentifier(self.uri, version)


def of_a_text(work: Callable[[Asked, Any], _T]) -> Callable[[Server, Any], _T | None]:
    """A handler of what is asked of one text; of a text that is not open, or not ours, it answers nothing."""

    @wraps(work)
    def ask(server: Server, params: Any) -> _T | None:
        uri = params.text_document.uri
        page = server.session.page(uri)
        return None if page is None else work(Asked(server, uri, page, server.wire(uri)), params)

    return answers(ask)


@of_a_text
def hover(asked: Asked, params: lsp.HoverParams) -> lsp.Hover | None:
    told = told_at(asked.page, asked.wire.at(params.position), asked.results)
    return asked.wire.hover(told, _likes_markdown(asked.server))


def _likes_markdown(server: Server) -> bool:
    able = server.client_capabilities.text_document
    formats = able.hover.content_format if able and able.hover else None
    return lsp.MarkupKind.Markdown in (formats or ())


@of_a_text
def inlay_hints(asked: Asked, params: lsp.InlayHintParams) -> list[lsp.InlayHint]:
    within = asked.wire.span(params.range)
    return [asked.wire.hint(hint) for hint in hints(asked.page, within)]


@of_a_text
def completion(asked: Asked, params: lsp.CompletionParams) -> lsp.CompletionList:
    offers = offers_at(asked.page, asked.wire.at(params.position))
    items = [asked.wire.offer(number, offer) for number, offer in enumerate(offers.offers)]
    return lsp.CompletionList(not offers.all, items)


@of_a_text
def code_actions(asked: Asked, params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
    wanted = [_word(kind) for kind in params.context.only or ("",)]
    found = list(actions(asked.page, asked.wire.span(params.range), asked.results))
    is_source = any(kind.startswith("source") for kind in wanted)
    mends = any(one.about and one.title.startswith("Mend") for one in found)
    if (is_source or mends) and (everything := mended_all(asked.page, asked.results)):
        found.append(everything)
    pages = asked.server.pages(asked.uri)
    made = [asked.wire.action(action, asked.version, pages) for action in found]
    return [one for one in made if any(_is_of(_word(one.kind), kind) for kind in wanted)]


def _is_of(kind: str, wanted: str) -> bool:
    """Whether an action is of a kind that was asked for, or of one below it."""
    return not wanted or kind == wanted or kind.startswith(f"{wanted}.")


def _word(kind: Any) -> str:
    return str(getattr(kind, "value", kind))


@of_a_text
def formatting(asked: Asked, params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit]:
    return asked.wire.edits(formatted(asked.page))


@of_a_text
def definition(asked: Asked, params: lsp.DefinitionParams) -> list[lsp.Location]:
    found = definitions(asked.page, asked.wire.at(params.position))
    return [lsp.Location(asked.uri, asked.wire.range(span)) for span in found]


@of_a_text
def all_references(asked: Asked, params: lsp.ReferenceParams) -> list[lsp.Location]:
    with_told = params.context.include_declaration
    found = references(asked.page, asked.wire.at(params.position), with_told)
    return [lsp.Location(asked.uri, asked.wire.range(span)) for span in found]


@of_a_text
def highlights(asked: Asked, params: lsp.DocumentHighlightParams) -> list[lsp.DocumentHighlight]:
    kinds = {True: lsp.DocumentHighlightKind.Write, False: lsp.DocumentHighlightKind.Read}
    found = told_and_used(asked.page, asked.wire.at(params.position))
    return [lsp.DocumentHighlight(asked.wire.range(span), kinds[tells]) for span, tells in found]


@of_a_text
def prepare_rename(asked: Asked, params: lsp.PrepareRenameParams) -> lsp.PrepareRenamePlaceholder:
    try:
        found = renamable(asked.page, asked.wire.at(params.position))
    except CannotRename as why:
        raise Refusal(one_line(str(why))) from None
    return lsp.PrepareRenamePlaceholder(asked.wire.range(found.span), found.name)


@of_a_text
def rename(asked: Asked, params: lsp.RenameParams) -> lsp.WorkspaceEdit:
    try:
        edits = renamed(asked.page, asked.wire.at(params.position), params.new_name)
    except CannotRename as why:
        raise Refusal(one_line(str(why))) from None
    return asked.wire.workspace_edit(edits, asked.version)


@of_a_text
def document_symbols(asked: Asked, params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol]:
    return [asked.wire.symbol(symbol) for symbol in symbols(asked.page)]


@of_a_text
def code_lenses(asked: Asked, params: lsp.CodeLensParams) -> list[lsp.CodeLens]:
    """What is computed already, and one lens that asks git when the editor shows it."""
    if asked.page.balance is None:
        return []
    where = asked.wire.range(lens_span(asked.page))
    told = [lsp.CodeLens(where, _shown(words)) for words in lens_words(asked.page)]
    return [*told, lsp.CodeLens(where, data=[asked.uri, asked.version.version])]


async def resolved_lens(server: Server, lens: lsp.CodeLens) -> lsp.CodeLens:
    """How a text differs from the last commit, of the version that the lens was made of."""
    try:
        uri, version = lens.data  # type: ignore[misc]
        page = server.session.page(uri)
        if page is None or server.session.open[uri].version != version:
            raise Overtaken()
        words = await asyncio.get_running_loop().run_in_executor(None, _against_head, server, page)
        one = server.session.open.get(uri)
        if one is None or one.version != version:
            raise Overtaken()
    except Overtaken:
        raise
    except Exception as fault:
        server.tell_fault("code lens", fault)
        words = ""
    return lsp.CodeLens(lens.range, _shown(words), lens.data)


def _against_head(server: Server, page: Any) -> str:
    committed = server.session.heads.of(page.path, page.kitchen)
    return against_head(page, committed) if committed else "no commit to compare with"


def _shown(words: str) -> lsp.Command:
    """Words over a line: nothing happens where somebody clicks on them."""
    return lsp.Command(title=one_line(words), command="")


#: Every request, its handler, and what the editor is told of it.
REQUESTS: tuple[tuple[str, Any, Any], ...] = (
    (lsp.TEXT_DOCUMENT_HOVER, hover, None),
    (lsp.TEXT_DOCUMENT_INLAY_HINT, inlay_hints, None),
    (
        lsp.TEXT_DOCUMENT_COMPLETION,
        completion,
        lsp.CompletionOptions(trigger_characters=[" ", "{", "[", ","]),
    ),
    (
        lsp.TEXT_DOCUMENT_CODE_ACTION,
        code_actions,
        lsp.CodeActionOptions(
            [
                lsp.CodeActionKind.QuickFix,
                lsp.CodeActionKind.SourceFixAll,
                lsp.CodeActionKind.RefactorRewrite,
            ]
        ),
    ),
    (lsp.TEXT_DOCUMENT_FORMATTING, formatting, None),
    (lsp.TEXT_DOCUMENT_DEFINITION, definition, None),
    (lsp.TEXT_DOCUMENT_REFERENCES, all_references, None),
    (lsp.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT, highlights, None),
    (lsp.TEXT_DOCUMENT_RENAME, rename, lsp.RenameOptions(prepare_provider=True)),
    (lsp.TEXT_DOCUMENT_PREPARE_RENAME, prepare_rename, None),
    (lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL, document_symbols, None),
    (lsp.TEXT_DOCUMENT_CODE_LENS, code_lenses, lsp.CodeLensOptions(resolve_provider=True)),
    (lsp.CODE_LENS_RESOLVE, resolved_lens, None),
)

"""Our values as the Language Server Protocol says them."""

from collections.abc import Iterable, Sequence

from lsprotocol import types as lsp

from perflour.editor.actions import Action
from perflour.editor.completion import Offer
from perflour.editor.hints import Hint
from perflour.editor.hover import Told
from perflour.editor.page import Marked
from perflour.editor.symbols import Symbol
from perflour.editor.text import Edit, Position, Span, Text, Units
from perflour.plain import markdown, one_line
from perflour.report.rules import rule_page

SOURCE = "perflour"
_LEVELS = {
    "error": lsp.DiagnosticSeverity.Error,
    "warning": lsp.DiagnosticSeverity.Warning,
    "note": lsp.DiagnosticSeverity.Information,
}
_OFFERED = {
    "key": lsp.CompletionItemKind.Property,
    "choice": lsp.CompletionItemKind.EnumMember,
    "food": lsp.CompletionItemKind.Value,
    "part": lsp.CompletionItemKind.Reference,
    "unit": lsp.CompletionItemKind.Unit,
    "state": lsp.CompletionItemKind.Constant,
    "verb": lsp.CompletionItemKind.Function,
    "rule": lsp.CompletionItemKind.Event,
}
_SYMBOLS = {
    "part": lsp.SymbolKind.Module,
    "ingredient": lsp.SymbolKind.Field,
    "method": lsp.SymbolKind.Array,
    "step": lsp.SymbolKind.Function,
}
_DONE = {
    "mend": lsp.CodeActionKind.QuickFix,
    "mend all": lsp.CodeActionKind.SourceFixAll,
    "rewrite": lsp.CodeActionKind.RefactorRewrite,
}


class Wire:
    """One text in the units that were agreed on with an editor."""

    def __init__(self, text: Text, units: Units) -> None:
        self.text, self.units = text, units

    def position(self, at: int) -> lsp.Position:
        return lsp.Position(*self.text.position(at, self.units))

    def range(self, span: Span) -> lsp.Range:
        return lsp.Range(self.position(span.start), self.position(span.end))

    def at(self, position: lsp.Position) -> int:
        return self.text.offset(Position(position.line, position.character), self.units)

    def span(self, of: lsp.Range) -> Span:
        return Span(*sorted((self.at(of.start), self.at(of.end))))

    def edit(self, edit: Edit) -> lsp.TextEdit:
        return lsp.TextEdit(self.range(edit.span), edit.new)

    def edits(self, edits: Iterable[Edit]) -> list[lsp.TextEdit]:
        return [self.edit(edit) for edit in edits]

    def diagnostic(self, one: Marked, pages: str) -> lsp.Diagnostic:
        result = one.result
        return lsp.Diagnostic(
            range=self.range(one.span),
            message=one_line(result.message),
            severity=_LEVELS[result.level],
            code=result.rule,
            code_description=lsp.CodeDescription(pages + rule_page(result.rule)) if pages else None,
            source=SOURCE,
        )

    def hint(self, hint: Hint) -> lsp.InlayHint:
        return lsp.InlayHint(
            position=self.position(hint.at),
            label=one_line(hint.words),
            padding_left=True,
            tooltip=one_line(hint.more) or None,
        )

    def hover(self, told: Sequence[Told], as_markdown: bool) -> lsp.Hover | None:
        if not told:
            return None
        say = _in_markdown if as_markdown else _in_text
        kind = lsp.MarkupKind.Markdown if as_markdown else lsp.MarkupKind.PlainText
        value = "\n\n".join(map(say, told))
        return lsp.Hover(lsp.MarkupContent(kind, value), self.range(told[0].span))

    def offer(self, number: int, offer: Offer) -> lsp.CompletionItem:
        return lsp.CompletionItem(
            label=offer.word,
            kind=_OFFERED[offer.kind],
            detail=offer.detail or None,
            documentation=offer.more or None,
            filter_text=offer.word,
            sort_text=f"{number:04}",
            text_edit=self.edit(offer.edit),
        )

    def action(
        self, action: Action, of: lsp.OptionalVersionedTextDocumentIdentifier, pages: str
    ) -> lsp.CodeAction:
        return lsp.CodeAction(
            title=one_line(action.title),
            kind=_DONE[action.kind],
            diagnostics=[self.diagnostic(one, pages) for one in action.about] or None,
            edit=self.workspace_edit(action.edits, of),
        )

    def workspace_edit(
        self, edits: Iterable[Edit], of: lsp.OptionalVersionedTextDocumentIdentifier
    ) -> lsp.WorkspaceEdit:
        """The edits of one version: an editor that has gone on since refuses them."""
        return lsp.WorkspaceEdit(
            document_changes=[lsp.TextDocumentEdit(of, list(self.edits(edits)))]
        )

    def symbol(self, symbol: Symbol) -> lsp.DocumentSymbol:
        return lsp.DocumentSymbol(
            name=symbol.name,
            kind=_SYMBOLS[symbol.kind],
            detail=symbol.detail or None,
            range=self.range(symbol.whole),
            selection_range=self.range(symbol.name_at),
            children=[self.symbol(inner) for inner in symbol.inner],
        )


def _in_markdown(told: Told) -> str:
    """A title and its lines; a blank line between paragraphs stays, what is written acts on nothing."""
    lines = "\n".join(f"{markdown(line)}  " if line.strip() else "" for line in told.lines)
    return f"**{markdown(told.title)}**\n\n{lines}".rstrip()


def _in_text(told: Told) -> str:
    return "\n".join(map(one_line, (told.title, *told.lines)))

"""A script that has PowerShell complete commands, options and their choices; files it completes by itself."""

from __future__ import annotations

import argparse

from perflour.commands.words import typed

# A table of what may follow which words; where it offers nothing, PowerShell offers files.
_SCRIPT = """\
# Completion of perflour for PowerShell 5.1 and newer; in your $PROFILE:
#   perflour completion powershell | Out-String | Invoke-Expression
Register-ArgumentCompleter -Native -CommandName perflour -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $follow = @{
%s
    }
    $said = @($commandAst.CommandElements | Select-Object -Skip 1 |
        Where-Object { $_.Extent.EndOffset -lt $cursorPosition } |
        ForEach-Object { $_.Extent.Text })
    $command = ''
    foreach ($word in $said) {
        $longer = "$command $word".Trim()
        if ($word.StartsWith('-') -or -not $follow.ContainsKey($longer)) { break }
        $command = $longer
    }
    $option = ''
    if ($said.Count -gt 0) { $option = "$command $($said[-1])".Trim() }
    if (-not $follow.ContainsKey($option)) { $option = $command }
    $follow[$option] | Where-Object { $_.StartsWith($wordToComplete) } | ForEach-Object {
        [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)
    }
}
"""


def powershell_script(parser: argparse.ArgumentParser) -> str:
    """The script, made of a parser with every command in it."""
    rows = "\n".join(
        f"        {_quoted(words)} = @({', '.join(map(_quoted, follow))})"
        for words, follow in follows(parser).items()
        if follow
    )
    return _SCRIPT % rows


def follows(parser: argparse.ArgumentParser) -> dict[str, list[str]]:
    """What may follow no word, a command, or an option of it that takes one of a few words."""
    found: dict[str, list[str]] = {}
    for words, command in typed(parser):
        found[words] = []
        for action in command._actions:
            choices = [str(choice) for choice in action.choices or ()]
            if action.option_strings:
                found[words] += action.option_strings
                found.update({f"{words} {o}".strip(): choices for o in action.option_strings})
            elif isinstance(action, argparse._SubParsersAction):
                found[words] += [told.dest for told in action._choices_actions]
            else:
                found[words] += choices
    return found


def _quoted(word: str) -> str:
    return "'" + word.replace("'", "''") + "'"

"""The house format and what `lint --fix` may mend: file content to file content."""

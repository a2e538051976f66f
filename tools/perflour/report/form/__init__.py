"""What every report is made with: columns, Markdown, sections, HTML pages, charts, signs."""

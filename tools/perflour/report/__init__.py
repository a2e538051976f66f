"""Reporters: values to text, JSON, Markdown or SARIF. They know nothing of baking."""

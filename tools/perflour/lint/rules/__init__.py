"""The rules by family, one module a rule; each looks at one formula and yields findings."""

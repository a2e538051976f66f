"""How a trial is laid out: its points, terms, days and ovens; numbers only, computed with pydoe."""

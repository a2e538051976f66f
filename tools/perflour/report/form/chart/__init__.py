"""Charts taken apart: values, axes, texts, and where each mark of a drawing stands."""

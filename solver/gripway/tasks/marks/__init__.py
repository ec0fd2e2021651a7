"""Tasks about the marks in scores."""

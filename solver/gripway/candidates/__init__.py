"""The candidates of a note: table rows, found grips, free fingers, columns."""

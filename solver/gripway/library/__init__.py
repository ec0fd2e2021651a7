"""A whole library of scores in one go: each score by itself, its record kept, tables from the records."""

"""Grips and the changes between them, to explore."""

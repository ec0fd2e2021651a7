"""Cells: the few notes around each hard change, and why they are hard."""

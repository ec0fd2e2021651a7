"""Helpers shared by tests: random passages, and slow, plain second ways to the same answers."""

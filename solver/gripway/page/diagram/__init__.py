"""Grip diagrams."""

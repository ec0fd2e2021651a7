"""Sheets to practise from."""

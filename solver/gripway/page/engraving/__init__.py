"""Engraved music and the places of its notes."""

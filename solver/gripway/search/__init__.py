"""Grips for a pitch beyond the printed ones, under constraints a player sets."""

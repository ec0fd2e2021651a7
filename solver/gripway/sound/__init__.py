"""Recordings: the only readers of sound files."""

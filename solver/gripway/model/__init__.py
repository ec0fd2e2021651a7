"""Frozen values: pitch, grip, mechanism, instrument, passage, player."""

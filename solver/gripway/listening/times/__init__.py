"""Finger times and evenness: what a recording says about when the notes change."""

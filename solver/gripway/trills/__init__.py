"""Trills: pairs of grips for two pitches, what they cost the hand and the ear, ranked."""

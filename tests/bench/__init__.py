"""Timings: printed as ratios against a named peer in the same run; they never decide a test."""

"""Tests of pairs of grips for trills."""

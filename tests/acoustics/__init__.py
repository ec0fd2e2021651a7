"""Tests of the acoustic model, and the report of its figures."""

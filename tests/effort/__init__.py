"""Tests of the effort terms, one file a module."""

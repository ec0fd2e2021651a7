"""The report of a route."""

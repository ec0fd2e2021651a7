"""What a person asks of a route: wishes, limits, spans, rules and their words."""

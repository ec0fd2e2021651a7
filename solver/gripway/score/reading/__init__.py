"""From a score to a passage: parts, voices, played order, time."""

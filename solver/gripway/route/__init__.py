"""From a passage to its least awkward route."""

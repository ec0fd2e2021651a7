"""Routes beside the answer: effort against tuning, and others that differ."""

"""The plan: which drills on which day, the log, and the care that belongs to it."""

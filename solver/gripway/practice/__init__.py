"""From a route to practice: cells, drills, a ladder of tempos, a plan of days."""

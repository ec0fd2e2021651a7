"""Which bars a day of the plan goes through in sections, and how many."""

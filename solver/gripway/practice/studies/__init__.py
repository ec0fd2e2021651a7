"""Work on the passage beside the drills, row by row."""

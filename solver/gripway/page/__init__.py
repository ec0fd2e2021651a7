"""What people look at: marks in the score, and later diagrams, engraving and report."""

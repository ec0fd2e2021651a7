"""Numbers only: columns, blocks, least paths, puzzles."""

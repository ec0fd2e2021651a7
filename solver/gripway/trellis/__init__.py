"""Numbers only: columns, blocks, least paths, networks."""

"""Tables as such: strict reading, columns, sources, and the figures of every cost."""

"""Tasks about the player's own flute, fingers and taste."""

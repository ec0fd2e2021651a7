"""Commands about the player's own fingers, as recordings tell of them."""

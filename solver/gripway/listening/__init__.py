"""What a recording says of a player's flute and fingers."""

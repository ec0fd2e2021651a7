"""What explains a player's or teacher's own fingerings."""

"""What a user can ask for: one function each, returning values and printing nothing."""

"""Places of a part found again: by their notes around, or by bar numbers alone."""

"""What the tables say of the flute: its parts, its grips and trills, its bores."""

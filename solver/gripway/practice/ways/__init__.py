"""Ways of working on a passage: for which music each is, in which bars, how long."""

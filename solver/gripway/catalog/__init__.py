"""The only readers of tables and of the player's own files."""

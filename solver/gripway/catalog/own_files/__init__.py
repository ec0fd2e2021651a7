"""The player's own files: player, rules, house style, practice log."""

"""Arguments in, one task, text out."""

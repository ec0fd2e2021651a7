"""The words of a route: its first sentence, flags, reasons, places and trills."""

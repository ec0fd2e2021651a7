"""Own finger times and evenness in words."""

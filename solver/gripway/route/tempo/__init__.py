"""The same passage at other tempos: where other grips begin to pay."""

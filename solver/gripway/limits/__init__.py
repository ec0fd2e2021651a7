"""Routes within limits: one exact method, conflicts, proofs."""

"""What an edition needs: one grip a figure, printed fingerings, our marks, the critical list."""

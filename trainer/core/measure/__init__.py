"""Clearances from dimension chains, and the shims that bring them to their aim."""

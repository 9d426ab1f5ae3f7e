"""Which part can come off, when, and why not earlier: computed from the solids and the joints."""

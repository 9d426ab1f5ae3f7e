"""What a clearance does once the pump runs: leakage, thrust, bearing life and preload. For teaching, never for design."""

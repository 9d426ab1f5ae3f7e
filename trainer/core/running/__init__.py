"""What a clearance does once the pump runs: leakage, thrust, bearing life, preload and growth. For teaching, never for design."""

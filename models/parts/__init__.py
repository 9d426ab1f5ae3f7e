"""One module per component. Each gives `faces` (no kernel) and `shape` (imports the kernel inside)."""

"""Pure thought: orders, measures, what follows in service. No screen, no files, no kernel."""

"""Pure formulas of the trade, each with its source and where it holds. They know no parts, files or screens."""

"""Formulas of the trade, each with its source and where it holds. They know no parts and no screens."""

"""The supply table, beside the drawing or on pages of its own."""

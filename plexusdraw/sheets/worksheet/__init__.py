"""Worksheets: forms to fill in, with keys, as many different ones as there are students."""

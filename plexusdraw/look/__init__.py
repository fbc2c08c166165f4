"""How each part looks: themes, every look decided once, and what may be written to a file."""

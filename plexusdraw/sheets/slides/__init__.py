"""Slides of a lecture, and handouts of them."""

"""Sheets to hand out and show: made of scenes and views, with nothing drawn by hand."""

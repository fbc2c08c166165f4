"""The sample page, its views, the built-in themes."""

from sample import look, page, view

__all__ = ["look", "page", "view"]

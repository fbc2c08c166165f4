"""The sample page, its views, the built-in themes."""

import pytest
from sample import VIEWS, scene

from plexusdraw import theme


@pytest.fixture(scope="session")
def page():
    """The sample scene."""
    return scene()


@pytest.fixture(params=sorted(VIEWS))
def view(request):
    """Each of the sample's views."""
    return VIEWS[request.param]()


@pytest.fixture(params=theme.names())
def look(request):
    """Each of the built-in themes."""
    return theme.load(request.param)

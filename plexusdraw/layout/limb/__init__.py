"""A limb with its areas and muscles: from a chart to the pages of a picture.

``tones`` (what colour stands for) → ``plates`` (each figure in chart units) → ``labels`` (names beside it, leaders that
do not cross) → ``pages`` (which figures stand on which page, as large as they can) → ``compose`` (the parts of a page).
"""

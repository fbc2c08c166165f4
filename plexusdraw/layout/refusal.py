"""What to say of a picture that does not fit its page: what would do instead."""

from __future__ import annotations

from dataclasses import replace

from plexusdraw.layout.fit import Options, fitted, least
from plexusdraw.layout.paper import LADDER, LARGEST_MM, paper, with_text
from plexusdraw.model import regions
from plexusdraw.model.plexus import Plexus
from plexusdraw.routes.fibres import Fibres

MANY = 150
"""Segments from which on it is not tried which paper would do, since that takes minutes: no plexus has half as many."""


def instead(plexus: Plexus, fibres: Fibres, options: Options) -> str:
    """What would do instead: on a slide fewer or shorter words, else the smallest paper of the ladder that fits."""
    shown = f'the {plexus.name} at detail "{options.detail}"'
    if options.nerve:
        shown = f"the course of the {plexus.segment(options.nerve).name}"
    small = f"with text of at least {options.page.smallest:g} pt"
    if options.page.grows:
        wide = f"{LARGEST_MM / 1000:g} m wide and high"
        return f"{shown} does not fit the largest page, {wide}, {small}; draw a part of it"
    trouble = f"{shown} does not fit {options.page.name} {small}"
    if options.page.screen and not options.nerve:
        if words := _on_slides(plexus, fibres, options):
            return f"{trouble}; it fits with {words}"
        return f"{trouble}; no slide has room for it: draw it on paper, plexusdraw draw --paper fit, or a part of it"
    if len(plexus.segments) > MANY:
        return f"{trouble}; use --paper fit, which takes as much as it needs"
    need = (0.0, 0.0) if options.nerve else least(plexus, fibres, options)
    for name in LADDER:
        for turn in ("landscape", "portrait"):
            bigger = with_text(paper(name, turn), options.page.text)
            if bigger.width < need[0] or bigger.height < need[1] or bigger.name == options.page.name:
                continue
            if fitted(plexus, fibres, replace(options, page=bigger)):
                return f"{trouble}; it fits --paper {bigger.name.replace(' landscape', '')}, or use --paper fit"
    return f"{trouble}; use --paper fit, which takes as much as it needs"


def _on_slides(plexus: Plexus, fibres: Fibres, options: Options) -> str:
    """What a slide has room for: shorter words, less, or one part of the plexus; empty if none of these."""
    terse = replace(options, wording=replace(options.wording, style="short"))
    for words, other in (("--names short", terse), ("--detail framework", replace(options, detail="framework"))):
        if other != options and fitted(plexus, fibres, other):
            return words
    for region in plexus.regions.values() if options.remark else ():  # a lecture takes the parts by itself
        part = regions.drawn_alone(plexus, region).drawn
        for words, other in (("", options), ("--names short and ", terse)):
            if fitted(part, Fibres(part), other):
                return f'{words}--part "{region.name}"'
    return ""

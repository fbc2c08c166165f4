"""Findings for the tests of localising: all that an examination would find, and findings as a person types them."""

from __future__ import annotations

from randoms import brachial

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.findings import Finding, finding
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise

MUSCLE = {Loss.NONE: "spared", Loss.SLIGHT: "slight", Loss.PART: "moderate", Loss.WHOLE: "paralysed"}


def examined(plexus, site):
    """All that an examination would find after a cut, reduced skin aside."""
    after = injure(plexus, [site])
    found = [Finding(MUSCLE[o.loss], o.id, o.name) for o in after.muscles.values()]
    found += [
        Finding("numb" if o.loss is Loss.WHOLE else "feels", o.id, o.name)
        for o in after.skin.values()
        if o.loss is not Loss.PART
    ]
    shown = {sign.id for sign in after.signs}
    return found + [Finding("sign" if s.id in shown else "no-sign", s.id, s.name) for s in plexus.signs.values()]


def run(**found):
    plexus = brachial()
    findings = [finding(plexus, kind.replace("_", "-"), text) for kind, texts in found.items() for text in texts]
    return localise(plexus, findings)


def run_top(top, **found):
    plexus = brachial()
    findings = [finding(plexus, kind.replace("_", "-"), text) for kind, texts in found.items() for text in texts]
    return localise(plexus, findings, top).answers

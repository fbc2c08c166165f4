"""Variants that would explain what speaks against a site: the rule, and one published one."""

from __future__ import annotations

import pytest
from randoms import MODELS, brachial

from plexusdraw.clinic import allowances, deficits
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise
from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load

VARIANTS = """
variants:
  - {name: hip by both, changes: [{set: groin-nerve, course: {add: [hip-muscle]}}]}
  - {name: hip by groin, changes: [{set: hip-nerve, course: [groin-muscle]}, {set: groin-nerve, course: [hip-muscle]}]}
  - {name: no hip nerve, changes: [{remove: hip-nerve}, {set: groin-nerve, course: {add: [hip-muscle]}}]}
  - name: skin by hip
    changes:
      - {set: thigh-nerve, course: {remove: [inner-leg-skin]}}
      - {set: hip-nerve, course: {add: [inner-leg-skin]}}
  - {name: other label, changes: [{set: hip-nerve, label: haunch}]}
"""


@pytest.fixture
def plexuses(tmp_path):
    """The caudal plexus, and the same with each of its variants."""
    path = tmp_path / "varied.yaml"
    path.write_text((MODELS / "caudal.yaml").read_text("utf-8") + VARIANTS, "utf-8")
    plain = load(path)
    return plain, [load(path, [id]) for id in plain.variants]


def allowed(plexuses, **found):
    """(Site, variant) → what it explains, and what in part."""
    plain, varied = plexuses
    findings = [finding(plain, kind.replace("_", "-"), text) for kind, texts in found.items() for text in texts]
    rows = allowances.of(localise(plain, findings, top=100), varied)
    return {(row.answer.id, row.variant.id): (row.explains, row.in_part) for row in rows}


@pytest.mark.parametrize(
    "found",
    [
        {"paralysed": ["groin muscle"], "spared": ["hip muscle"]},
        {"paralysed": ["hip muscle"], "weak": ["groin muscle"]},
        {"paralysed": ["knee extensor"], "feels": ["inner leg skin"]},
    ],
    ids=str,
)
def test_what_is_named_explains_something_and_each_finding_once(plexuses, found):
    """A change of a label alone explains nothing."""
    for (_, variant), (whole, part) in allowed(plexuses, **found).items():
        assert variant != "other-label"
        assert whole or part
        assert not set(whole) & set(part)


def test_skin_that_another_nerve_has_by_a_variant_is_explained_in_full(plexuses):
    found = allowed(plexuses, paralysed=["knee extensor"], feels=["inner leg skin"])
    assert found["thigh-nerve", "skin-by-hip"] == (("feels inner leg skin",), ())


def test_where_nothing_speaks_against_a_site_nothing_needs_explaining(plexuses):
    assert allowed(plexuses, paralysed=["hip muscle"]).keys() == set()


def test_each_allowance_is_one_that_agrees_better_and_no_worse(plexuses):
    plain, varied = plexuses
    by_id = {plexus.applied[0]: plexus for plexus in varied}
    findings = [finding(plain, "paralysed", "hip muscle"), finding(plain, "spared", "groin muscle")]
    findings.append(finding(plain, "paralysed", "knee extensor"))
    result = localise(plain, findings, top=100)
    rows = list(allowances.of(result, varied))
    told = {(row.answer.id, row.variant.id) for row in rows}
    for answer in result.answers:
        against = {*answer.unexplained, *answer.contradicted}
        for id, plexus in by_id.items():
            try:
                broken = injure(plexus, [site.name for site in answer.cuts]).broken
            except UnknownNameError:  # the variant has no such place
                assert (answer.id, id) not in told
                continue
            before = {f.text: f.gain(deficits.of(plain), answer.broken) for f in findings}
            after = {f.text: f.gain(deficits.of(plexus), broken) for f in findings}
            better = {text for text in against if after[text] > before[text] + 0.05}
            worse = {text for text in before if after[text] < before[text] - 0.05}
            assert ((answer.id, id) in told) == (bool(better) and not worse), (answer.id, id)


def test_a_variant_without_the_place_explains_nothing_there(plexuses):
    found = allowed(plexuses, paralysed=["hip muscle"], spared=["groin muscle", "knee extensor"], weak=["toe lifter"])
    assert not any(site == "hip-nerve" and variant == "no-hip-nerve" for site, variant in found)


def test_fibres_that_cross_in_the_forearm_spare_a_muscle_of_the_hand_in_part():
    """tests/published/variants.yaml: Martin-Gruber, median fibres that join the ulnar nerve below the elbow."""
    plexus = brachial()
    findings = [finding(plexus, "weak", "flexor carpi ulnaris"), finding(plexus, "spared", "first dorsal interosseous")]
    varied = [load("brachial", [id]) for id in ("prefixed", "martin-gruber")]
    (row,) = allowances.of(localise(plexus, findings), varied)
    assert (row.answer.id, row.variant.id) == ("ulnar-nerve", "martin-gruber")
    assert (row.explains, row.in_part) == ((), ("spared first dorsal interosseous",))


def test_without_variants_nothing_is_explained():
    plexus = brachial()
    findings = [finding(plexus, "weak", "flexor carpi ulnaris"), finding(plexus, "spared", "first dorsal interosseous")]
    assert list(allowances.of(localise(plexus, findings), [])) == []

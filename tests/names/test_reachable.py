"""Everything can be called by its name; where that means another thing, check says so."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest
from randoms import small

from plexusdraw.errors import UnknownNameError
from plexusdraw.model import load
from plexusdraw.names import lookup as names
from plexusdraw.names import reachable
from plexusdraw.yamlfile.document import Faults

CAUDAL = small("caudal")


def with_muscles(**changes):
    """The small plexus with other ids or names of muscles, by id."""
    rows = {id: replace(muscle, **changes.get(id.replace("-", "_"), {})) for id, muscle in CAUDAL.muscles.items()}
    return replace(CAUDAL, muscles=MappingProxyType({row.id: row for row in rows.values()}))


def faults_of(plexus):
    faults = Faults("caudal.yaml")
    reachable.check(plexus, faults)
    return list(faults.lines())


@pytest.mark.parametrize("model", ["brachial", "lumbosacral", "cervical"])
def test_every_structure_is_found_by_its_name(model):
    plexus = load(model)
    for entity in plexus.entities():
        if names.table(plexus, entity.id) in names.STRUCTURES:
            assert names.find(plexus, names.display(entity), names.STRUCTURES) is entity
    assert faults_of(plexus) == []


def test_a_name_goes_before_a_synonym():
    first, second = list(CAUDAL.muscles.values())[:2]
    plexus = with_muscles(**{first.id.replace("-", "_"): {"synonyms": (second.name,)}})
    assert names.matches(plexus, second.name) == (second.id,)
    assert names.find(plexus, first.name).id == first.id


def test_what_has_one_name_is_told_apart_by_ids():
    first, second = list(CAUDAL.muscles.values())[:2]
    plexus = with_muscles(**{second.id.replace("-", "_"): {"name": first.name}})
    with pytest.raises(UnknownNameError) as told:
        names.find(plexus, first.name)
    assert str(told.value).endswith(f"may mean {first.name} ({first.id}), {first.name} ({second.id}). Say which.")
    assert names.find(plexus, second.id).id == second.id


def test_what_is_called_as_the_id_of_another_is_a_fault():
    first, second = list(CAUDAL.muscles.values())[:2]
    plexus = with_muscles(**{second.id.replace("-", "_"): {"name": first.id}})
    assert faults_of(plexus) == [
        f'caudal.yaml:{second.line}: "{first.id}" is the name of {second.id} and the id of {first.name}. '
        "Give one of them another."
    ]


def test_a_sign_may_be_called_as_a_structure_is():
    sign = next(iter(CAUDAL.signs.values()))
    muscle = next(iter(CAUDAL.muscles))
    assert faults_of(replace(CAUDAL, signs=MappingProxyType({sign.id: replace(sign, name=muscle)}))) == []

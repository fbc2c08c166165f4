"""Everything can be called by something that means nothing else; where it cannot, check says so."""

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


def test_what_nothing_calls_alone_is_a_fault():
    """A muscle whose id and name are the name of another."""
    first, second = list(CAUDAL.muscles.values())[:2]
    plexus = with_muscles(**{second.id.replace("-", "_"): {"name": first.name}})
    (fault,) = faults_of(plexus)
    assert fault.startswith(f"caudal.yaml:{first.line}: {first.name}: whatever calls it may also mean")
    assert f'"{second.id}"' in fault

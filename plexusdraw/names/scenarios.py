"""Scenarios that a text names, and their faults: each of their texts must be a site, as the model room cannot tell."""

from __future__ import annotations

from collections.abc import Iterator

from plexusdraw.errors import UnknownNameError
from plexusdraw.model.entities import Scenario
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import sites
from plexusdraw.yamlfile.document import Faults


def named(plexus: Plexus, text: str) -> tuple[Scenario, ...]:
    """The scenarios that a text names, alone or joined to other sites: "Klumpke palsy + axillary nerve"."""
    whole = sites.scenario(plexus, text)
    if whole is not None:
        return (whole,)
    return tuple(found for part in sites.parts(text) if (found := sites.scenario(plexus, part)) is not None)


def check(plexus: Plexus, faults: Faults) -> None:
    """Note every text under ``sites`` of a scenario, or of an alternative, that is no site."""
    for scenario in plexus.scenarios.values():
        for text in _texts(scenario):
            try:
                sites.parse_all(plexus, text)
            except UnknownNameError as error:
                faults.add(scenario.line, f"{scenario.name}: {str(error).rstrip('.')}", "Write it as injure takes it.")
            else:
                if sites.scenario(plexus, text) is not None:
                    faults.add(scenario.line, f'{scenario.name}: "{text}" is a scenario itself', "Name the place.")


def _texts(scenario: Scenario) -> Iterator[str]:
    yield from scenario.sites
    for other in scenario.alternatives:
        yield from other.sites

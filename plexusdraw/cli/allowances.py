"""``localise --allow-variants``: which variant would explain what speaks against a site."""

from __future__ import annotations

from collections.abc import Sequence

from plexusdraw.cli.common import show
from plexusdraw.clinic.allowances import Allowance, of
from plexusdraw.clinic.localise import Result
from plexusdraw.courses import load
from plexusdraw.errors import ModelError
from plexusdraw.model import Plexus


def found(result: Result, file: str) -> tuple[Allowance, ...]:
    """The variants of bodies, of the model in a *file*, that would explain what speaks against the answers."""
    return tuple(of(result, _varied(result.plexus, file)))


def _varied(plexus: Plexus, file: str) -> list[Plexus]:
    """The plexus with each of its other variants that combines with those that it has."""
    made = []
    for variant in plexus.variants.values():
        if variant.kind == "variant" and variant.id not in plexus.applied:
            try:
                made.append(load(file, (*plexus.applied, variant.id)))
            except ModelError:
                continue  # two that change the same thing
    return made


def show_allowances(rows: Sequence[Allowance]) -> None:
    """Write them, each with how often the variant was found."""
    if not rows:
        show("No variant of the model explains more of the findings.\n")
        return
    show("Variants that would explain what speaks against a site", style="bold")
    for row in rows:
        figures = "; ".join(f"{p.value} ({p.where})" if p.where else p.value for p in row.variant.prevalence)
        found_in = f" Found in {figures}." if figures else ""
        told = [("explains", row.explains), ("explains in part", row.in_part)]
        texts = "; ".join(f"{word} {', '.join(texts)}" for word, texts in told if texts)
        show(f"{row.answer.name}: {row.variant.name} {texts}.{found_in}", indent=3)
    show("")


def as_json(rows: Sequence[Allowance]) -> list[dict[str, object]]:
    """The same as plain values."""
    return [
        {
            "site": row.answer.id,
            "variant": row.variant.id,
            "name": row.variant.name,
            "explains": list(row.explains),
            "explains_in_part": list(row.in_part),
            "found_in": [{"value": p.value, "where": p.where} for p in row.variant.prevalence],
        }
        for row in rows
    ]
